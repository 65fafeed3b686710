/* Comparing: a second picture beside the first, of the yard at another year or before the work, or
   of a second yard in the same year.
   The second year has a thumb and a thread of its own, dashed like the underline of its title,
   and its figures stand beside those of the first. */

const OTHER_YEAR = 15;

class Compare {
  /* other: title, parts, courses and only, of a second yard; empty where there is none. */
  constructor(yard, other) {
    this.yard = yard;
    this.shown = false;
    this.scheme = other.title ? { ...other, parts: Object.fromEntries(Object.entries(other.parts).map(([name, part]) => [name, unpacked(part)])) } : null;
    this.what = this.scheme ? "yard" : "year";
    this.changes = new Changes();
    this.button = tag("button", { type: "button", class: "button tocompare", "aria-pressed": "false" }, "Compare");
    this.button.addEventListener("click", () => (this.shown ? this.leave() : this.enter()));
    this.makeChoice();
    this.makePictures();
    this.makeYear();
    this.node = tag("div", { class: "comparing" }, this.button, this.choice);
  }

  makeChoice() {
    const offered = [["year", "A year"], ["before", "Before the work"], ...(this.scheme ? [["yard", this.scheme.title]] : [])];
    const at = offered.findIndex(([what]) => what === this.what);
    const picks = radios("other", offered.map(([, words]) => words), at, (i) => this.setWhat(offered[i][0]));
    this.choice = tag("fieldset", { hidden: "" }, tag("legend", {}, "Second picture"), tag("div", { class: "switch" }, ...picks));
  }

  makePictures() {
    this.box = tag("div", { class: "view3d other", role: "img" });
    this.titles = ["", " other"].map((which) => tag("p", { class: `pairtitle${which}` }));
    this.heads = ["", "other"].map((which) => tag("span", { class: which }));
    this.head = tag("div", { class: "row pairhead" }, this.headName = tag("div", { class: "name" }), this.headNote = tag("div", { class: "name" }), tag("div", { class: "values" }, ...this.heads));
  }

  /* The thumb, the thread and the crowns of the second year. */
  makeYear() {
    this.slider = tag("input", { id: "otheryear", class: "other", type: "range", min: 0, max: LAST_YEAR, step: 0.1, "aria-label": "Second year" });
    this.slider.addEventListener("input", () => this.step(Number(this.slider.value)));
    this.slider.addEventListener("keydown", (key) => this.stepByKey(key));
    this.thread = tag("div", { class: "thread other", "aria-hidden": "true" });
    this.crown = tag("b");
    this.crownName = tag("span");
    this.crowns = tag("span", {}, this.crownName, this.crown);
  }

  /* Whether the second picture is one of a year. */
  get dated() {
    return this.shown && this.what === "year";
  }

  /* Whether it is one of a second yard. */
  get schemed() {
    return this.shown && this.what === "yard";
  }

  enter() {
    const { yard } = this;
    this.shown = true;
    this.year ??= yard.years.year < OTHER_YEAR ? OTHER_YEAR : 0;
    this.planned = yard.client.clearGround();
    this.turn();
    this.open();
  }

  leave() {
    if (!this.shown) return;
    this.shown = false;
    this.close();
    this.turn();
    this.planned?.();
  }

  /* Puts everything of the second picture on the page, or takes it off. */
  turn() {
    const { yard, shown } = this;
    this.button.setAttribute("aria-pressed", String(shown));
    this.choice.hidden = !shown;
    yard.node.classList.toggle("paired", shown);
    for (const part of [this.box, ...this.titles]) shown ? yard.stage.append(part) : part.remove();
    this.turnYear();
    yard.layout();
    yard.showCaption();
  }

  turnYear() {
    const { dated, yard: { years } } = this;
    dated ? years.track.groove.append(this.slider) : this.slider.remove();
    dated ? years.node.append(this.thread) : this.thread.remove();
    dated ? years.crown.parentNode.after(this.crowns) : this.crowns.remove();
    this.tell();
  }

  /* The figures of the page, which may be new ones. */
  tell() {
    const { series, rows } = this.yard;
    const { dated, schemed, scheme } = this;
    this.changes = new Changes();
    series?.classList.toggle("paired", dated || schemed);
    series?.classList.toggle("dated", dated);
    if (dated || schemed) series?.prepend(this.head);
    else this.head.remove();
    this.headName.textContent = schemed ? "Two yards; the second dashed" : "Two years";
    this.headNote.textContent = schemed && scheme.only.length ? `Only in ${scheme.title}: ${scheme.only.join("; ")}` : "";
    rows.compare(null);
    rows.beside(schemed ? scheme.courses : null);
    this.show();
  }

  /* The second picture itself, where the browser draws any. */
  open() {
    const { picture, parts } = this.yard;
    if (!this.shown || this.pair || picture.failed) return;
    this.pair = new Pair(picture, this.box, parts);
    this.fill();
  }

  /* What the second picture shows. */
  fill() {
    const { pair, what, scheme, year } = this;
    if (what !== "before") pair?.setBefore(false); // on the yard it was shown of
    pair?.setYard(what === "yard" ? scheme.parts : null);
    if (what === "before") pair?.setBefore(true);
    pair?.setYear(what === "yard" ? this.yard.years.year : year);
  }

  close() {
    this.pair?.close();
    this.pair = null;
    this.box.replaceChildren();
  }

  /* The picture was lost, or read again. */
  again() {
    this.close();
    this.open();
  }

  setWhat(what) {
    this.what = what;
    this.fill();
    this.turnYear();
    this.yard.layout();
  }

  step(year) {
    this.year = Math.min(LAST_YEAR, Math.max(0, Math.round(year * 10) / 10));
    this.pair?.setYear(this.year);
    this.show();
  }

  stepByKey(key) {
    const step = STEP_KEYS[key.key];
    if (step === undefined) return;
    key.preventDefault();
    this.step(this.year + step * (key.shiftKey ? 0.1 : 1));
  }

  layout() {
    if (!this.dated) return;
    const { top, left, height } = this.yard.years.thread.style;
    Object.assign(this.thread.style, { top, left, height });
    this.show();
  }

  /* One step of either year: writes only what it changes. */
  show() {
    if (!this.shown) return;
    const { year, what, yard: { years } } = this;
    this.yard.stills.beside(this);
    this.changes.when("titles", `${years.year}/${what}/${year}`, () => this.showTitles(...this.words(years.year)));
    if (what === "yard") {
      this.changes.when("yard", years.year, () => this.pair?.setYear(years.year));
      this.yard.rows.compare(years.year);
    }
    if (!this.dated) return;
    if (Number(this.slider.value) !== year) this.slider.value = year;
    this.changes.when("spoken", year, () => this.slider.setAttribute("aria-valuetext", `Year ${year}, second picture`));
    const x = `${Math.round(xOfYear(year, years.track.width))}px`;
    this.thread.style.transform = `translateX(${x})`;
    this.yard.series?.style.setProperty("--other-x", x);
    this.yard.rows.compare(year);
    const { area_unit: unit, area_m2: unitM2 } = years.story;
    this.changes.when("crowns", year, () => {
      this.crownName.textContent = `Year ${year}: `;
      this.crown.textContent = areaWords(years.crowns, year, unit, unitM2);
    });
  }

  /* The titles of both pictures; the first is of `first`. */
  words(first) {
    const { what, year, scheme } = this;
    if (what === "yard") return [document.querySelector(".top h1").textContent, scheme.title].map((title) => `${title}, year ${first}`);
    return [`Year ${first}`, what === "before" ? "Before the work" : `Year ${year}`];
  }

  showTitles(...words) {
    const { stills, years } = this.yard;
    const dates = [years.year, this.dated ? this.year : null];
    words.forEach((each, i) => {
      this.heads[i].textContent = each;
      this.titles[i].textContent = each + stills.instead(dates[i]);
    });
    this.describe();
  }

  /* What the second picture is called; `look` says from where and in which season. */
  describe(look = this.look) {
    this.look = look;
    const what = {
      year: `The yard in year ${this.year}`,
      before: "The yard before the work: surveyed ground, and the plants that stay",
      yard: `${this.scheme?.title} in year ${this.yard.years?.year}`,
    };
    const { stills } = this.yard;
    const said = stills.begun ? stills.instead(this.dated ? this.year : null) : ". It turns together with the first picture";
    this.box.setAttribute("aria-label", `${what[this.what]}, ${look}${said}.`);
  }
}
