/* The yard in the browser: picture, views, season, sentence and years in one shadow root.
   Everything shown was computed before; a step places, interpolates and writes text. The
   server is never asked. The charts live in roots of their own: the line that marks the year in
   them is the page's, and `theme` is set so that they can paint themselves anew. */

const PLAY_MS_PER_YEAR = 600;
const THUMBNAIL_PX = [144, 81];
const SLOW_THUMBNAIL_MS = 150;
const MOST_TOLD = 3;
const MOST_BESIDE = 3;
const STEP_KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 5, PageDown: -5 };
const SEASONS = [["leaf", "In leaf", "in leaf"], ["bare", "Bare", "bare"]];

/* The HTML rows of the page: one expected figure and its range for every course. */
class Values {
  constructor(courses) {
    this.changes = new Changes();
    this.courses = courses.map((course) => {
      const node = document.getElementById(course.id);
      return { ...course, figure: node.querySelector("b"), range: node.querySelector(".range") };
    });
  }

  show(year) {
    for (const course of this.courses) {
      const [low, expected, high] = [course.low, course.expected, course.high]
        .map((values) => Math.round(100 * atYear(values, year)));
      const range = low === high ? "range under 1" : `${low}–${high}`;
      this.changes.when(course.id, `${expected}/${range}`, () => {
        course.figure.textContent = `${expected}\u00a0%`;
        course.range.textContent = range;
      });
    }
  }
}

/* A radio group drawn as `drawn(option)` beside each native radio. */
function radios(name, options, picked, pick) {
  return options.map((option, i) => {
    const input = tag("input", { type: "radio", name, value: i });
    input.checked = i === picked;
    input.addEventListener("change", () => pick(i));
    return tag("label", {}, input, tag("span", {}, option));
  });
}

const ARRAYS = [Float32Array, Float64Array, Int8Array, Int16Array, Int32Array, Uint8Array, Uint16Array, Uint32Array];

/* The same data with Bokeh's own array classes as plain typed arrays over the same bytes:
   cutting a part out of one of Bokeh's does not work. */
function plainArrays(value) {
  if (ArrayBuffer.isView(value)) {
    const plain = ARRAYS.find((kind) => value instanceof kind);
    return new plain(value.buffer, value.byteOffset, value.length);
  }
  if (Array.isArray(value)) return value.map(plainArrays);
  if (value === null || typeof value !== "object" || value instanceof ArrayBuffer) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, plainArrays(each)]));
}

class Yard {
  constructor(model) {
    this.model = model;
    this.story = model.story;
    this.year = this.story.start_year;
    this.season = "leaf";
    this.view = Math.max(0, this.story.views.length - 2); // the whole yard
    this.series = document.querySelector(".series");
    this.changes = new Changes();
    this.playing = 0;
    this.track = new Track(this.story.events, this.story.crowns, (to) => this.go(to));
    this.values = new Values(this.story.courses);
    this.node = tag("div", { class: "yard" }, this.makeStage(), this.makeSide(), this.makeYears());
    this.listen();
  }

  makeStage() {
    this.box = tag("div", { class: "view3d", role: "img" });
    this.captionName = tag("b");
    this.captionText = tag("span");
    this.lost = tag("p", { class: "notice", role: "status", hidden: "" });
    return tag("section", { class: "stage", "aria-label": "Picture of the yard" }, this.box,
      tag("p", { class: "caption" }, this.captionName, this.captionText), this.lost);
  }

  makeSide() {
    const views = this.story.views.map((view) => view.label);
    this.viewRadios = radios("view", views, this.view, (i) => this.look(i));
    this.seasonRadios = radios("season", SEASONS.map((s) => s[1]), 0, (i) => this.setSeason(SEASONS[i][0]));
    return tag("aside", { class: "side", "aria-label": "Picture settings" },
      tag("fieldset", {}, tag("legend", {}, "Look from"), tag("div", { class: "views" }, ...this.viewRadios)),
      tag("fieldset", {}, tag("legend", {}, "Season"), tag("div", { class: "switch" }, ...this.seasonRadios)));
  }

  makeYears() {
    this.before = tag("button", { type: "button", class: "button before", "aria-label": "Event before" }, strokeIcon("M8 2 2 7l6 5", 10, 14), "Before");
    this.next = tag("button", { type: "button", class: "button next", "aria-label": "Next event" }, "Next", strokeIcon("M2 2l6 5-6 5", 10, 14));
    this.say = tag("p", { class: "say", "aria-live": "polite" });
    this.play = tag("button", { type: "button", class: "button round", "aria-label": "Play the years", "aria-pressed": "false" }, strokeIcon("", 14, 14));
    this.number = tag("span", { class: "number" });
    const clock = tag("div", { class: "clock" }, this.play,
      tag("output", { class: "big", for: "year" }, tag("small", {}, "Year"), this.number));
    this.thread = tag("div", { class: "thread", "aria-hidden": "true" });
    const verdicts = this.makeVerdicts();
    const beside = this.story.verdicts.length <= MOST_BESIDE;
    return tag("section", { class: "years", "aria-label": "The years" },
      tag("div", { class: "tale" }, tag("div", { class: "steps" }, this.before, this.next), this.say),
      clock, this.track.node, this.makeBeside(beside ? verdicts : null), beside ? null : verdicts, this.thread);
  }

  /* The conditions: a few stand beside the bands, more than that in a strip below the years. */
  makeVerdicts() {
    const verdicts = this.story.verdicts.map((verdict) => tag("li", { class: "verdict" },
      tag("i", {}, squares(verdict.squares)),
      tag("span", {}, tag("b", {}, verdict.name), tag("span", {}, verdict.limit), tag("span", { class: "outcome" }, verdict.text, " ", tag("span", { class: "figure" }, verdict.figure)))));
    const none = tag("p", { class: "quiet" }, "No conditions in this yard. Add [[requirement]].");
    return tag("section", { class: "verdicts", "aria-label": "Conditions" },
      verdicts.length ? tag("ul", {}, ...verdicts) : none);
  }

  makeBeside(verdicts) {
    this.date = tag("b");
    this.crown = tag("b");
    this.more = tag("summary", {}, "Everything that happens");
    this.happens = tag("details", { class: "all" }, this.more, this.track.list);
    const key = shape("svg", { width: 52, height: 16, viewBox: "0 0 52 16", "aria-hidden": "true" });
    shape("rect", { x: 1, y: 4, width: 50, height: 8, rx: 4, class: "span" }, key);
    shape("rect", { x: 18, y: 0, width: 3, height: 16, fill: "var(--leaf)" }, key);
    return tag("div", { class: "beside" }, verdicts,
      tag("div", { class: "trackside" }, tag("span", {}, this.date), tag("span", {}, "All crowns: ", this.crown),
        tag("span", {}, key, " fast, expected, slow")),
      this.happens);
  }

  listen() {
    const { slider } = this.track;
    slider.addEventListener("input", () => this.step(Number(slider.value)));
    slider.addEventListener("keydown", (key) => this.stepByKey(key));
    slider.addEventListener("pointerdown", () => this.stop());
    this.before.addEventListener("click", () => this.stepToEvent(-1));
    this.next.addEventListener("click", () => this.stepToEvent(1));
    this.play.addEventListener("click", () => (this.playing ? this.stop() : this.start()));
    const skip = document.querySelector("a.skip");
    if (skip) skip.addEventListener("click", (click) => { click.preventDefault(); slider.focus(); });
    this.dark = window.matchMedia("(prefers-color-scheme: dark)");
    this.onDark = () => { this.model.theme = this.dark.matches ? "dark" : "light"; };
    this.dark.addEventListener("change", this.onDark);
    this.resized = new ResizeObserver(() => this.layout());
  }

  /* Called once the nodes are in the page: the picture needs a box with a size. */
  begin() {
    this.picture = new Picture(this.box);
    this.picture.onready = () => {
      this.box.dataset.ready = "true";
      this.showThumbnails();
    };
    this.load();
    this.picture.look(this.view);
    if (this.picture.failed) this.say3dFailed();
    this.onDark();
    this.resized.observe(this.node);
    this.layout();
    this.showCaption();
  }

  load() {
    const { ground, hard, far, kinds, plants, sizes, views, sun } = this.model;
    this.picture.load(plainArrays({ ground, hard, far, kinds, plants, sizes, views, sun }));
    this.picture.setSeason(this.season);
    this.picture.setYear(this.year);
  }

  /* Small pictures of the views, taken once; where drawing is slow the names stand alone. */
  async showThumbnails() {
    const taken = [];
    for (let i = 0; i < this.viewRadios.length; i += 1) {
      await new Promise((drawn) => requestAnimationFrame(drawn));
      const began = performance.now();
      taken.push(await this.picture.thumbnail(i, ...THUMBNAIL_PX));
      if (performance.now() - began > SLOW_THUMBNAIL_MS) return;
    }
    const [width, height] = THUMBNAIL_PX;
    taken.forEach((src, i) => this.viewRadios[i].lastElementChild.prepend(tag("img", { src, width, height, alt: "" })));
    this.viewRadios[0].parentNode.classList.add("pictured");
  }

  say3dFailed() {
    this.lost.hidden = false;
    this.lost.textContent = "This browser shows no 3D picture (WebGL is off). Everything else works.";
  }

  layout() {
    this.track.layout();
    const { node } = this.track;
    const besideBelow = window.innerWidth <= 1080;
    const bottom = besideBelow ? node.offsetTop + node.offsetHeight : node.offsetParent.offsetHeight;
    this.thread.style.cssText = `top:${node.offsetTop}px;left:${node.offsetLeft}px;height:${bottom - node.offsetTop}px`;
    this.happens.classList.toggle("needed", this.track.hidden > 0);
    this.more.textContent = this.track.hidden ? `Everything that happens (${this.track.hidden} more)` : "Everything that happens";
    this.show();
  }

  /* One step of the year. Returns the milliseconds of script spent, drawing not counted. */
  step(year) {
    const began = performance.now();
    this.year = Math.min(LAST_YEAR, Math.max(0, Math.round(year * 10) / 10));
    this.show();
    return performance.now() - began;
  }

  show() {
    const { year } = this;
    this.picture.setYear(year);
    this.track.show(year);
    const x = `${Math.round(xOfYear(year, this.track.width))}px`;
    this.thread.style.transform = `translateX(${x})`;
    if (this.series) this.series.style.setProperty("--thread-x", x);
    this.changes.when("number", year, () => { this.number.textContent = year; });
    this.changes.when("date", Math.floor(year), (whole) => { this.date.textContent = this.story.dates[whole]; });
    this.showCrowns(year);
    this.tell(year);
    this.values.show(year);
  }

  showCrowns(year) {
    const { crowns, area_unit: unit, area_m2: unitM2 } = this.story;
    const [low, expected, high] = [crowns.low, crowns.expected, crowns.high].map((v) => Math.round(atYear(v, year) / unitM2).toLocaleString("en"));
    const text = `${expected}\u00a0${unit}` + (low === high ? "" : ` (${low}–${high})`);
    this.changes.when("crowns", text, () => { this.crown.textContent = text; });
  }

  /* The sentence: what happens in this very year, else what happened last. */
  tell(year) {
    const { events, newly } = this.story;
    const here = events.filter((event) => event.year === year);
    const past = events.filter((event) => event.year < year);
    const words = this.sentences(here.length ? here.slice(-MOST_TOLD) : past.slice(-1)) || newly;
    this.changes.when("say", words, () => { this.say.textContent = words; });
    const spoken = this.sentences(here);
    this.changes.when("spoken", `Year ${year}. ${spoken}`, () => {
      this.track.slider.setAttribute("aria-valuetext", spoken ? `Year ${year}. ${spoken}` : `Year ${year}`);
    });
  }

  /* Events of one year in words: what happens with its span, then what is due. */
  sentences(events) {
    const happens = events.filter((event) => event.band !== "rule")
      .map((event) => `${event.sentence} Expected in year ${event.year} (${spanWords(event, " to ") || "in any case"}).`);
    const due = events.filter((event) => event.band === "rule").map((event) => event.sentence);
    return [...happens, ...(due.length ? [`Due in year ${events[0].year}: ${due.join(" ")}`] : [])].join(" ");
  }

  stepByKey(key) {
    if (key.key === "Home" || key.key === "End") this.stop();
    const step = STEP_KEYS[key.key];
    if (step === undefined) return;
    key.preventDefault();
    this.stop();
    this.step(this.year + step * (key.shiftKey ? 0.1 : 1));
  }

  stepToEvent(way) {
    const years = this.story.events.map((event) => event.year);
    const to = way > 0 ? years.find((y) => y > this.year) : years.filter((y) => y < this.year).pop();
    this.stop();
    if (to !== undefined) this.step(to);
  }

  /* To a year, or to an event: its year, and the view and season it is seen in. */
  go(to) {
    this.stop();
    if (typeof to === "number") { this.step(to); return; }
    const view = this.story.views.findIndex((each) => each.name === to.view);
    if (to.view && view >= 0) this.pickRadio(this.viewRadios, view, () => this.look(view));
    const season = SEASONS.findIndex((each) => each[0] === to.season);
    if (season >= 0) this.pickRadio(this.seasonRadios, season, () => this.setSeason(to.season));
    this.step(to.year);
  }

  pickRadio(labels, i, act) {
    labels[i].firstElementChild.checked = true;
    act();
  }

  look(i) {
    this.view = i;
    this.picture.look(i);
    this.showCaption();
  }

  setSeason(season) {
    this.season = season;
    this.picture.setSeason(season);
    this.showCaption();
  }

  showCaption() {
    const { label, caption } = this.story.views[this.view];
    const season = SEASONS.find((each) => each[0] === this.season)[2];
    this.captionName.textContent = label;
    this.captionText.textContent = `, ${caption ? `${caption}, ` : ""}${season}`;
    this.box.setAttribute("aria-label", `The yard, ${label}, ${season}. Arrow keys turn the view, plus and minus go nearer and farther.`);
  }

  start() {
    if (this.year >= LAST_YEAR) this.step(0);
    this.say.setAttribute("aria-live", "off");
    this.play.setAttribute("aria-pressed", "true");
    let [startYear, startMs] = [this.year, performance.now()];
    const tick = (now) => {
      this.step(startYear + Math.max(0, now - startMs) / PLAY_MS_PER_YEAR);
      this.playing = this.year < LAST_YEAR ? requestAnimationFrame(tick) : 0;
      if (!this.playing) this.stop();
    };
    this.playing = requestAnimationFrame(tick);
    this.drawPlay();
  }

  stop() {
    cancelAnimationFrame(this.playing);
    this.playing = 0;
    this.say.setAttribute("aria-live", "polite");
    this.play.setAttribute("aria-pressed", "false");
    this.drawPlay();
  }

  drawPlay() {
    const path = this.play.querySelector("path");
    path.setAttribute("d", this.playing ? "M4 2v10M10 2v10" : "M3.5 2 12 7 3.5 12z");
    path.setAttribute("stroke-width", this.playing ? 3 : 1.8);
    path.setAttribute("fill", this.playing ? "none" : "currentColor");
  }

  end() {
    this.stop();
    this.resized.disconnect();
    this.dark.removeEventListener("change", this.onDark);
  }
}

/* Panel's entry: builds the yard; it begins once its nodes are in the page. */
export function render({ model }) {
  const yard = new Yard(model);
  yard.drawPlay();
  requestAnimationFrame(() => yard.begin());
  model.on("remove", () => yard.end());
  return yard.node;
}
