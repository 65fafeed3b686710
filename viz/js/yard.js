/* The yard in the browser: picture, views, season, sentence and years in one shadow root.
   Everything shown was computed before; a step places, interpolates and writes text. The
   server is never asked. */

const THUMBNAIL_PX = [144, 81];
const SLOW_THUMBNAIL_MS = 150;
const BEFORE_THUMBNAILS_MS = 1500; // the first picture and its finer drawing come first
const MOST_BESIDE = 3;
const PARTS = ["ground", "hard", "far", "kinds", "plants", "sizes", "layers", "views", "sun"];
const SEASONS = [["leaf", "In leaf", "in leaf"], ["bare", "Bare", "bare"]];

class Yard {
  constructor(model) {
    this.parts = Object.fromEntries(PARTS.map((name) => [name, unpacked(model[name])]));
    this.story = model.story;
    this.season = "leaf";
    this.view = Math.max(0, this.story.views.length - 2); // the whole yard
    this.series = document.querySelector(".series");
    this.rows = new Rows(this.story.rows);
    this.years = this.makeYears();
    this.node = tag("div", { class: "columns" }, this.makeStage(), this.makeSide(), this.years.node);
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
    this.ground = new Ground(this.parts, this);
    const views = this.story.views.map((view) => view.label);
    this.viewRadios = radios("view", views, this.view, (i) => this.setView(i));
    this.seasonRadios = radios("season", SEASONS.map((s) => s[1]), 0, (i) => this.setSeason(SEASONS[i][0]));
    return tag("aside", { class: "side", "aria-label": "Picture settings" },
      tag("fieldset", {}, tag("legend", {}, "Look from"), tag("div", { class: "views" }, ...this.viewRadios)),
      tag("fieldset", {}, tag("legend", {}, "Season"), tag("div", { class: "switch" }, ...this.seasonRadios)),
      this.ground.node);
  }

  makeYears() {
    const verdicts = this.makeVerdicts();
    const beside = this.story.verdicts.length <= MOST_BESIDE;
    const years = new Years(this.story, { shown: (year, x) => this.show(year, x), jumped: (event) => this.look(event) },
      beside ? { beside: verdicts } : { below: verdicts });
    years.tell(this.story.events, this.story.crowns);
    return years;
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

  listen() {
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
    this.resized.observe(this.node);
    this.layout();
    this.showCaption();
  }

  layout() {
    if (!this.node.clientWidth) return; // another reading is shown
    this.rows.layout();
    this.years.layout();
  }

  load() {
    const { layers, ...drawn } = this.parts;
    this.picture.load(drawn);
    this.picture.setSeason(this.season);
    this.picture.setYear(this.years.year);
  }

  /* Small pictures of the views, taken once; where drawing is slow the names stand alone. */
  async showThumbnails() {
    const taken = [];
    await new Promise((later) => setTimeout(later, BEFORE_THUMBNAILS_MS));
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

  show(year, x) {
    this.picture.setYear(year);
    this.ground.setYear();
    if (this.series) this.series.style.setProperty("--thread-x", x);
    this.rows.show(year);
  }

  /* The view and season an event is seen in. */
  look(event) {
    const view = this.story.views.findIndex((each) => each.name === event.view);
    if (event.view && view >= 0) this.pickRadio(this.viewRadios, view, () => this.setView(view));
    const season = SEASONS.findIndex((each) => each[0] === event.season);
    if (season >= 0) this.pickRadio(this.seasonRadios, season, () => this.setSeason(event.season));
  }

  pickRadio(labels, i, act) {
    labels[i].firstElementChild.checked = true;
    act();
  }

  setView(i) {
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

  end() {
    this.years.stop();
    this.resized.disconnect();
  }
}

/* Panel's entry: builds the yard; it begins once its nodes are in the page. */
export function render({ model }) {
  const yard = new Yard(model);
  requestAnimationFrame(() => yard.begin());
  model.on("remove", () => yard.end());
  return yard.node;
}
