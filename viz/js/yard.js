/* The yard in the browser: picture, views, month, sentence and years in one shadow root.
   Everything shown was computed before; a step places, interpolates and writes text. The
   server is never asked. */

const THUMBNAIL_PX = [144, 81];
const SLOW_THUMBNAIL_MS = 150;
const SLOW_FINE_MS = 600; // a fine drawing that takes longer tells the same without one more
const BEFORE_THUMBNAILS_MS = 1500; // the first picture and its finer drawing come first
const MOST_BESIDE = 3;
const PARTS = ["ground", "hard", "far", "kinds", "plants", "sizes", "months", "suns", "layers", "closing", "hours", "cards", "views"];

class Yard {
  constructor(model) {
    this.parts = Object.fromEntries(PARTS.map((name) => [name, unpacked(model[name])]));
    this.story = model.story;
    this.follow = new Follow(this, model);
    this.view = Math.max(0, this.story.views.length - 2); // the whole yard
    this.series = document.querySelector(".series");
    this.rows = new Rows(this.story.rows);
    this.client = new Client(this);
    this.stills = new Stills(this, model.served);
    this.compare = new Compare(this, model.other);
    this.years = this.makeYears();
    this.node = tag("div", { class: "columns" }, this.client.back, this.follow.news.mistake, this.makeStage(), ...this.makeSide(), this.years.node);
    this.listen();
  }

  makeStage() {
    this.box = tag("div", { class: "view3d", role: "img" });
    this.captionName = tag("b");
    this.captionText = tag("span");
    this.strip = tag("p", { class: "notice", role: "status", hidden: "" });
    this.stage = tag("section", { class: "stage", "aria-label": "Picture of the yard" }, this.box,
      tag("p", { class: "caption" }, this.captionName, this.captionText), this.follow.news.again, this.strip);
    return this.stage;
  }

  makeSide() {
    this.ground = new Ground(this.parts, this);
    this.views = tag("div", { class: "views" });
    this.placeViews();
    this.moment = new Moment(this.parts, () => this.setMoment());
    this.plants = new Plants(this);
    this.person = new Person(this);
    const side = tag("aside", { class: "side settings", "aria-label": "Picture settings" },
      tag("fieldset", {}, tag("legend", {}, "Look from"), this.views),
      ...this.moment.nodes, this.ground.node, this.plants.node, this.compare.node, this.client.button);
    return [this.plants.card.node, side];
  }

  placeViews() {
    const views = this.story.views.map((view) => view.label);
    this.viewRadios = radios("view", views, this.view, (i) => this.setView(i));
    this.views.replaceChildren(...this.viewRadios);
    this.views.classList.remove("pictured");
  }

  makeYears() {
    const years = new Years(this.story, { shown: (year, x) => this.show(year, x), jumped: (event) => this.jump(event) });
    years.tell(this.story.events, this.story.crowns);
    this.placeVerdicts(years);
    return years;
  }

  /* Everything told anew; the year stays, and the view where there still is one of its name. */
  tell(story) {
    const [before, view] = [this.story.views, this.story.views[this.view]];
    this.story = story;
    this.series = document.querySelector(".series");
    this.rows = new Rows(story.rows);
    this.years.story = story;
    this.years.tell(this.client.events(story.events), story.crowns);
    this.compare.tell();
    this.placeVerdicts(this.years);
    const again = story.views.findIndex((each) => each.name === view.name);
    this.view = again >= 0 ? again : Math.max(0, story.views.length - 2);
    if (story.views.map((each) => each.label).join("\n") !== before.map((each) => each.label).join("\n")) this.placeViews();
    if (again < 0) this.picture.look(this.view);
    this.layout();
    this.showCaption();
  }

  /* The conditions: a few stand beside the bands, more than that in a strip below the years. */
  placeVerdicts(years) {
    this.verdicts?.remove();
    this.verdicts = this.makeVerdicts();
    if (this.story.verdicts.length <= MOST_BESIDE) years.beside.prepend(this.verdicts);
    else years.thread.before(this.verdicts);
  }

  makeVerdicts() {
    const verdicts = this.story.verdicts.map((verdict) => tag("li", { class: "verdict" },
      tag("i", {}, squares(verdict.squares)),
      tag("span", {}, this.makeJump(verdict), tag("span", {}, verdict.limit), tag("span", { class: "outcome" }, verdict.text, " ", tag("span", { class: "figure" }, verdict.figure)))));
    const none = tag("p", { class: "quiet" }, "No conditions in this yard. Add [[requirement]].");
    return tag("section", { class: "verdicts", "aria-label": "Conditions" },
      verdicts.length ? tag("ul", {}, ...verdicts) : none);
  }

  /* A condition's name, which leads to its year and view. */
  makeJump({ name, event }) {
    if (!event) return tag("b", {}, name); // not computed yet
    const button = tag("button", { type: "button", class: "link" }, name);
    button.addEventListener("click", () => { this.years.go(event); });
    return button;
  }

  listen() {
    this.resized = new ResizeObserver(() => this.layout());
  }

  /* Called once the nodes are in the page: the picture needs a box with a size. */
  begin() {
    this.picture = new Picture(this.box);
    this.picture.onready = () => {
      this.box.dataset.ready = "true";
      this.strip.hidden = true;
      this.compare.open();
      this.person.place();
      this.showThumbnails();
    };
    this.picture.onseen = () => this.follow.seen();
    this.picture.onlost = () => this.sayLost();
    this.picture.onfailed = () => this.stills.begin();
    this.picture.ondraw = () => this.drawn();
    this.load();
    this.picture.look(this.view);
    if (this.picture.failed) {
      this.stills.begin();
      this.follow.seen();
    }
    this.resized.observe(this.node);
    this.layout();
    this.showCaption();
    if (this.compare.scheme) this.compare.enter();
    this.follow.begin();
  }

  /* What stands over the picture follows its camera. */
  drawn() {
    this.ground.drawn();
    this.plants.place();
  }

  layout() {
    if (!this.node.clientWidth) return; // another reading is shown
    this.moment.layout();
    this.rows.layout();
    this.years.layout();
    this.compare.layout();
  }

  load() {
    const { layers, closing, hours, cards, ...drawn } = this.parts;
    this.picture.load(drawn);
    this.picture.setMoment(this.moment.month, this.moment.hour);
    this.picture.setYear(this.years.year);
  }

  /* Small pictures of the views, taken once; where drawing is slow the names stand alone. */
  async showThumbnails() {
    const taken = [];
    const run = (this.taking = {});
    await new Promise((later) => setTimeout(later, BEFORE_THUMBNAILS_MS));
    if (this.picture.fineMs > SLOW_FINE_MS) return;
    for (let i = 0; i < this.viewRadios.length; i += 1) {
      await new Promise((drawn) => requestAnimationFrame(drawn));
      if (run !== this.taking) return; // the yard was read again meanwhile
      const began = performance.now();
      taken.push(await this.picture.thumbnail(i, ...THUMBNAIL_PX));
      if (performance.now() - began > SLOW_THUMBNAIL_MS) return;
    }
    const [width, height] = THUMBNAIL_PX;
    taken.forEach((src, i) => {
      const words = this.viewRadios[i].lastElementChild;
      words.replaceChildren(tag("img", { src, width, height, alt: "" }), words.lastChild);
    });
    this.views.classList.add("pictured");
  }

  sayLost() {
    this.box.dataset.ready = "false";
    this.taking = null;
    this.compare.close();
    this.say("The picture was lost; drawing it again");
  }

  say(words) {
    this.strip.hidden = false;
    if (this.strip.textContent !== words) this.strip.textContent = words; // spoken when it changes
  }

  show(year, x) {
    this.picture.setYear(year);
    this.moment.grow(year);
    this.ground.setYear();
    this.plants.setYear(year);
    if (this.series) this.series.style.setProperty("--thread-x", x);
    this.rows.show(year);
    this.compare.show();
    this.stills.show();
  }

  /* An event that was pressed: its year, view and season, and its place ringed. */
  jump(event) {
    this.look(event);
    this.plants.mark(event);
    this.years.step(event.year);
    this.plants.showMark();
  }

  /* The view and season an event is seen in. */
  look(event) {
    const view = this.story.views.findIndex((each) => each.name === event.view);
    if (event.view && view >= 0) this.pickRadio(this.viewRadios, view, () => this.setView(view));
    if (event.season) this.moment.toSeason(event.season);
  }

  pickRadio(labels, i, act) {
    labels[i].firstElementChild.checked = true;
    act();
  }

  setView(i) {
    this.view = i;
    this.picture.look(i);
    this.person.place();
    this.stills.show();
    this.showCaption();
  }

  setMoment() {
    this.picture.setMoment(this.moment.month, this.moment.hour);
    this.showCaption();
    if (this.client.shown) this.years.show();
  }

  showCaption() {
    const { label, caption } = this.story.views[this.view];
    const season = this.moment.words();
    this.compare.describe(`${label}, ${season}`);
    const still = this.stills.caption();
    const [name, words] = still ?? [label, `${caption ? `${caption}, ` : ""}${season}`];
    this.captionName.textContent = name;
    this.captionText.textContent = `, ${words}`;
    const said = this.stills.begun ? `${name}, ${words}` : `${label}, ${season}. Arrow keys turn the view, plus and minus go nearer and farther.`;
    this.box.setAttribute("aria-label", `The yard, ${said}`);
  }

  end() {
    this.client.leave();
    this.plants.leave();
    this.compare.leave();
    this.stills.end();
    this.years.stop();
    this.resized.disconnect();
  }
}

/* Panel's entry: builds the yard once it is told; it begins once its nodes are in the page. */
export function render({ model }) {
  return onceTold(model, () => {
    if (model.words.title) takeWords(model.words); // the page may be older than what came since
    const yard = new Yard(model);
    requestAnimationFrame(() => yard.begin());
    model.on("remove", () => yard.end());
    return yard.node;
  });
}
