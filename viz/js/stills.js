/* Where the browser draws no picture, or not any more: a still of the view shown in the nearest
   year there is. Whoever serves the page draws a view's stills when they are first asked for; a
   packed page has nobody to ask, and says so. */

const NO_PICTURE = "This browser shows no 3D picture (WebGL is off)";

class Stills {
  constructor(yard, served) {
    this.yard = yard;
    this.served = served;
    this.begun = false;
    this.views = new Map(); // what was told of a view, by its number: stills, a mistake, or null while asked
    this.image = tag("img", { class: "still", alt: "", hidden: "" });
    this.second = tag("img", { class: "still", alt: "" });
    this.none = tag("p", { class: "nostill" }, "There is no still of this.");
  }

  begin() {
    if (this.begun) return;
    this.begun = true;
    this.yard.stage.classList.add("stilled");
    this.yard.box.append(this.image);
    this.show();
    this.yard.compare.tell();
  }

  /* The yard was read again: its stills are others. */
  again() {
    this.views = new Map();
    this.show();
  }

  end() { this.ended = true; }

  async ask(view) {
    const { views } = this;
    views.set(view, null);
    const told = await reckonedAt(`stills/${view}`, () => this.ended || views !== this.views);
    if (!told) return;
    views.set(view, told);
    this.show();
  }

  /* Until a view's stills are there, those shown last stay, under their own name. */
  show() {
    if (!this.begun) return;
    const { view, years } = this.yard;
    if (this.served && !this.views.has(view)) this.ask(view);
    const told = this.views.get(view);
    const fresh = told?.pictures && told !== this.last;
    if (fresh) this.last = told;
    this.yard.say(this.words(told));
    const picture = this.nearest(years.year);
    if (picture && picture !== this.picture) {
      this.picture = picture;
      this.image.src = picture.image;
      this.image.hidden = false;
    }
    this.yard.showCaption();
    if (fresh) this.yard.compare.tell();
  }

  /* The still of the year nearest to one, the earlier of two as near; undefined where none is there. */
  nearest(year) {
    return this.last?.pictures.reduce((best, each) => (Math.abs(each.year - year) < Math.abs(best.year - year) ? each : best));
  }

  /* What a title says where the still is of another year than one. */
  instead(year) {
    const still = this.begun && year !== null ? this.nearest(year)?.year : year;
    return still === undefined || still === year ? "" : `: still of year ${still}`;
  }

  /* The second picture of a comparison: of another year there is a still, of anything else none. */
  beside(compare) {
    if (!this.begun) return;
    const picture = compare.dated ? this.nearest(compare.year) : undefined;
    if (picture) this.second.src = picture.image;
    compare.box.replaceChildren(picture ? this.second : this.none);
  }

  words(told) {
    if (!this.served) return `${NO_PICTURE}. Everything else works.`;
    if (!told) return `${NO_PICTURE}. Drawing the still ... Everything else works.`;
    if (told.mistake) return `${NO_PICTURE}, and no still can be drawn: ${told.mistake}. Everything else works.`;
    const years = told.pictures.map((each) => each.year);
    return `${NO_PICTURE}. In its place: stills of years ${years.slice(0, -1).join(", ")} and ${years.at(-1)}. Everything else works.`;
  }

  /* What the still shows, as [name, words]; null where none is shown. */
  caption() {
    if (!this.picture) return null;
    const { year } = this.picture;
    const shown = this.yard.years.year;
    const nearest = shown === year ? "" : ` (the nearest still to year ${shown})`;
    return [`${this.last.view}, year ${year}${nearest}`, `${this.last.heading}; ${this.picture.caption.replace(/^Year \d+[:,] /, "")}`];
  }
}
