/* Choosing a plant: by a press on the picture, or from a list. Its card stands beside the picture
   and a ring about the plant; findings pressed in the card, on the year track or among the
   conditions are ringed at their place. Nothing here asks the server. */

const PRESS_PX = 5; // a pointer that moves farther is a drag
const LEFT_YEAR = 0.45; // so far from its year a finding's ring is taken away

class Plants {
  constructor(yard) {
    this.yard = yard;
    this.chosen = -1;
    this.card = new PlantCard({ go: (line, hit) => this.goTo(line, hit), close: () => this.close(), next: () => this.next() });
    this.rings = new Rings(yard.box, () => this.ground());
    yard.box.parentNode.append(this.rings.node);
    this.list = tag("ul");
    this.node = tag("details", { class: "plantlist" }, tag("summary", {}, "Plants"), this.list);
    this.take();
    this.listen();
  }

  /* The parts of the yard as they are now. */
  take() {
    const { cards, layers, plants, sizes } = this.yard.parts;
    this.field = null;
    this.cards = cards;
    this.fits = cards.table.length === plants.kind.length; // else the figures are still to come
    this.sizes = new PlantSizes(layers.section, plants.kind, sizes.years.length);
    this.list.replaceChildren(...cards.tables.map((table, n) => this.listed(table, n)));
    this.node.hidden = !cards.tables.length;
  }

  /* Findings about light, which a served page leaves out, and asks for with the first card. */
  async askLight() {
    const { cards } = this;
    if (cards.lit || this.asked === cards) return;
    this.asked = cards;
    this.card.tellLight("Light: being reckoned");
    const told = await reckonedAt("plantlight", () => this.asked !== this.cards);
    if (!told) return;
    for (const [number, lines] of Object.entries(told.lines ?? {})) {
      cards.tables[number].lookout.push(...lines);
      cards.tables[number].lookout.sort((a, b) => a.hits[0][1] - b.hits[0][1]);
    }
    this.card.tellLight(told.mistake ? `Light: ${told.mistake}` : "");
  }

  /* Other plants, or other figures of them: the same plant stays chosen where it still stands. */
  again() {
    const [before, at, back] = [this.chosen, this.at, this.back];
    this.leave();
    this.take();
    if (before < 0 && !at) return;
    const here = this.fits ? this.found(at) : -1;
    if (here >= 0) {
      this.choose(here, false);
      this.back = back;
    } else if (!this.fits) this.at = at;
  }

  /* The plant of a botanical name at a place. */
  found({ name, foot }) {
    const { plants } = this.yard.parts;
    return Array.from(plants.kind).findIndex((_, i) => this.cards.tables[this.cards.table[i]].botanical === name
      && Math.hypot(plants.foot[3 * i] - foot[0], plants.foot[3 * i + 1] - foot[1]) < 0.05);
  }

  listed(table, n) {
    const button = tag("button", { type: "button" }, tag("span", {}, table.name, " ", tag("i", {}, table.botanical)), tag("small", {}, String(table.count)));
    button.addEventListener("click", () => this.choose(this.cards.table.indexOf(n)));
    return tag("li", {}, button);
  }

  listen() {
    const { box } = this.yard;
    let held = null;
    box.addEventListener("pointerdown", (e) => { held = e.isPrimary && e.button === 0 && !e.shiftKey ? [e.clientX, e.clientY] : null; });
    box.addEventListener("pointermove", (e) => { if (held && Math.hypot(e.clientX - held[0], e.clientY - held[1]) > PRESS_PX) held = null; });
    box.addEventListener("pointerup", (e) => { if (held) this.press(e); held = null; });
  }

  press(e) {
    const { picture, client, box } = this.yard;
    if (client.shown || !this.fits || !picture?.planted || picture.failed) return;
    const { left, top } = box.getBoundingClientRect();
    const plant = this.under(e.clientX - left, e.clientY - top);
    if (plant >= 0) this.choose(plant);
    else if (this.chosen >= 0) this.close();
  }

  /* The plant that a pixel of the picture shows at the year shown, or -1. */
  under(left, top) {
    const { parts, picture, years } = this.yard;
    const lens = new Lens(picture);
    const { foot, kind } = parts.plants;
    const stop = (way) => {
      const ground = this.ground().hit(lens.eye, way);
      const far = ground ? Math.hypot(...ground.map((v, k) => v - lens.eye[k])) + 0.2 : Infinity;
      return Math.min(far, meetsFaces(parts.hard, lens.eye, way));
    };
    const sizes = (i) => this.sizes.at(i, 1, years.year);
    return plantAt(lens, left, top, { count: kind.length, foot, kind, envelopes: this.cards.envelopes, sizes, stop });
  }

  /* The ground as shown, once something asks for it. */
  ground() {
    if (this.yard.ground.field) return this.yard.ground.field;
    const { layers, ground } = this.yard.parts;
    return (this.field ??= new GroundField(layers, ground.points));
  }

  choose(plant, focus = true) {
    if (plant < 0) return;
    if (focus && this.chosen < 0) this.back = this.yard.node.getRootNode().activeElement;
    this.chosen = plant;
    const { foot } = this.yard.parts.plants;
    const number = this.cards.table[plant];
    const alike = this.alike(number);
    const table = this.cards.tables[number];
    this.at = { name: table.botanical, foot: [foot[3 * plant], foot[3 * plant + 1]] };
    this.card.show(table, plant, this.courses(plant), [alike.indexOf(plant) + 1, alike.length], this.yard.parts.layers.unit);
    this.yard.node.classList.add("carded");
    this.card.setYear(this.yard.years.year);
    this.askLight();
    this.ring();
    if (focus) this.card.title.focus();
    document.addEventListener("keydown", this.escaped);
  }

  escaped = (key) => {
    if (key.key !== "Escape" || key.defaultPrevented) return;
    key.preventDefault();
    this.close();
  };

  alike(number) {
    return Array.from(this.cards.table.keys()).filter((i) => this.cards.table[i] === number);
  }

  next() {
    const alike = this.alike(this.cards.table[this.chosen]);
    this.choose(alike[(alike.indexOf(this.chosen) + 1) % alike.length], false);
    this.card.next.focus();
  }

  close() {
    this.leave();
    if (this.back?.isConnected) this.back.focus({ preventScroll: true });
    this.back = null;
  }

  /* Without a plant chosen. */
  leave() {
    document.removeEventListener("keydown", this.escaped);
    this.chosen = -1;
    this.at = null;
    this.card.node.hidden = true;
    this.yard.node.classList.remove("carded");
    this.clearMark();
    this.rings.clear("chosen");
  }

  /* Height and spread by year of a plant: low, expected and high, metres. */
  courses(plant) {
    const years = Array.from({ length: this.sizes.years }, (_, year) => year);
    const ends = (quantity) => Object.fromEntries(ENDS.map((end, n) => [end, years.map((year) => this.sizes.at(plant, n, year)[quantity])]));
    return { height: ends("height"), spread: ends("spread") };
  }

  /* Points all over a plant's crown at the year shown; where none stands, its foot. */
  crown(plant) {
    const { kind, foot } = this.yard.parts.plants;
    const place = [foot[3 * plant], foot[3 * plant + 1], foot[3 * plant + 2]];
    const size = this.sizes.at(plant, 1, this.yard.years.year);
    return size.height > 0 ? crownPoints(this.cards.envelopes[kind[plant]], size, place) : [];
  }

  ring() {
    const plant = this.chosen;
    if (plant < 0) return;
    const words = sizeWords(this.card.courses.height, this.yard.years.year, this.yard.parts.layers.unit);
    this.rings.set("chosen", { points: this.crown(plant), cloud: true, chip: [this.card.table.name, words] });
    this.place();
  }

  setYear(year) {
    this.card.setYear(year);
    if (this.marked && Math.abs(this.marked.year - year) > LEFT_YEAR) this.clearMark();
    if (this.marked?.plant >= 0) this.ringMark();
    this.ring();
  }

  /* A finding of the card: its year, the view it is seen in, its place ringed. */
  goTo(line, [plant, year, first, last]) {
    const at = plant < 0 ? this.chosen : plant;
    this.yard.years.stop();
    this.yard.look(line);
    const { name } = this.cards.tables[this.cards.table[at]];
    const what = line.text.split(/[:.]/)[0];
    const words = `${what.slice(0, 1).toLowerCase()}${what.slice(1)}, ${yearWords({ year, first, last: last === AFTER ? null : last })}`;
    this.marked = { year, plant: at, view: line.view, chip: [name, words] };
    this.yard.years.step(year);
    this.showMark();
  }

  /* An event or condition that was pressed: what it is about is ringed in its year. */
  mark(event) {
    this.clearMark();
    const plant = event.at && this.fits ? this.nearest(event.at) : -1;
    const points = this.yard.story.places[event.place];
    if (plant < 0 && !points) return;
    const chip = event.figure ? [event.title.split(": ")[0], event.figure] : [event.title, yearWords(event)];
    this.marked = { year: event.year, plant, points, view: event.view, chip };
  }

  nearest([x, y]) {
    const { foot, kind } = this.yard.parts.plants;
    let [best, near] = [-1, 0.05];
    for (let i = 0; i < kind.length; i += 1) {
      const away = Math.hypot(foot[3 * i] - x, foot[3 * i + 1] - y);
      if (away < near) [best, near] = [i, away];
    }
    return best;
  }

  /* Rings what is marked; from another view where it is not seen from this one. */
  showMark() {
    if (!this.marked) return;
    this.ringMark();
    const { picture, story, box } = this.yard;
    box.scrollIntoView({ block: "nearest" });
    const points = this.markPoints();
    if (this.marked.view || !points.length || picture.failed || this.rings.sees(picture.camera, points)) return;
    const views = this.yard.parts.views.views;
    const better = [story.views.length - 2, story.views.length - 1].find((i) => this.rings.sees(cameraOf(views[i]), points));
    if (better !== undefined) this.yard.pickRadio(this.yard.viewRadios, better, () => this.yard.setView(better));
    this.place();
  }

  markPoints() {
    return this.marked.plant >= 0 ? this.crown(this.marked.plant) : this.marked.points;
  }

  ringMark() {
    const { plant, chip } = this.marked;
    this.rings.set("marked", { points: this.markPoints(), cloud: plant >= 0, chip });
    this.place();
  }

  clearMark() {
    this.marked = null;
    this.rings.clear("marked");
  }

  place() {
    if (this.yard.picture && !this.yard.picture.failed) this.rings.place(this.yard.picture.camera);
  }
}

/* "year 7 (5–11)" */
function yearWords(event) {
  const span = spanWords(event);
  return `year ${event.year}${span ? ` (${span})` : ""}`;
}
