/* The card of one plant: its names, its size in the year shown, how it was planted, its leaf, its
   height through the years, what to look out for, and how its growth is known. */

const CARD_ART = [240, 96];
const AFTER = -1; // in place of a last year: not within the years forecast

class PlantCard {
  /* on.go(line, hit) is called where a finding's year is pressed, on.close() and on.next(). */
  constructor(on) {
    this.on = on;
    this.changes = new Changes();
    this.light = "";
    this.title = tag("h2", { id: "plantname", tabindex: -1 });
    this.close = tag("button", { type: "button", class: "button", "aria-label": "Close the plant card" }, "Close");
    this.close.addEventListener("click", () => on.close());
    this.body = tag("div");
    this.node = tag("section", { class: "plantcard", "aria-labelledby": "plantname", hidden: "" },
      tag("div", { class: "cardhead" }, this.title, this.close), this.body);
  }

  /* table: what is told of all plants of one table; courses: height and spread by year, each low,
     expected and high in metres; `which` [number from 1, of how many]. */
  show(table, plant, courses, which, unit) {
    Object.assign(this, { table, plant, courses, unit });
    this.changes = new Changes();
    this.title.replaceChildren(table.name, tag("i", {}, table.botanical));
    this.size = tag("b", { class: "figure" });
    this.wide = tag("span", { class: "figure" });
    this.body.replaceChildren(
      tag("p", { class: "size" }, this.size, this.wide),
      this.makeWhich(which),
      this.makeCourse(),
      ...part("Planted as", tag("p", {}, table.planted)),
      ...part("Leaf", tag("p", {}, table.leaf)),
      ...part("Look out for", this.makeLookout()),
      ...part("How we know", tag("p", {}, `${table.basis}.`), tag("p", { class: "quiet" }, table.source)));
    this.node.hidden = false;
  }

  makeWhich([number, count]) {
    if (count < 2) return tag("span", { hidden: "" });
    this.next = tag("button", { type: "button", class: "link" }, "Next of them");
    this.next.addEventListener("click", () => this.on.next());
    return tag("p", { class: "quiet" }, `${number} of ${count} planted alike. `, this.next);
  }

  /* Height over the years with its range, and the thread at the year shown. */
  makeCourse() {
    const [width, height] = CARD_ART;
    const { low, expected, high } = this.courses.height;
    const most = Math.max(...high, 1e-6);
    const x = (year) => 4 + (year / LAST_YEAR) * (width - 8);
    const y = (metres) => height - 16 - (metres / most) * (height - 32);
    const line = (values) => values.map((v, year) => `${x(year).toFixed(1)} ${y(v).toFixed(1)}`);
    const art = shape("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": this.courseWords() });
    for (const at of [0, most]) shape("line", { x1: 4, x2: width - 4, y1: y(at), y2: y(at), class: at ? "hair" : "edge" }, art);
    shape("path", { d: `M${[...line(high), ...line(low).reverse()].join("L")}Z`, class: "range" }, art);
    shape("path", { d: `M${line(expected).join("L")}`, class: "course" }, art);
    this.thread = shape("path", { class: "cardthread" }, art);
    this.threadAt = (year) => `M${x(year).toFixed(1)} 12V${height - 16}`;
    for (const [year, anchor] of [[0, "start"], [15, "middle"], [LAST_YEAR, "end"]]) {
      shape("text", { x: x(year), y: height - 3, "text-anchor": anchor }, art).textContent = year ? String(year) : "Year 0";
    }
    shape("text", { x: 4, y: 11 }, art).textContent = `Height, up to ${lengthIn(most, this.unit)}`;
    return art;
  }

  courseWords() {
    const { height } = this.courses;
    const there = height.expected.map((v, year) => [v, year]).filter(([v]) => v > 0).map(([, year]) => year);
    if (!there.length) return "It stands in none of the years";
    const [from, to] = [there[0], there[there.length - 1]];
    return `Height from ${sizeWords(height, from, this.unit)} in year ${from} to ${sizeWords(height, to, this.unit)} in year ${to}`;
  }

  /* Findings with their years, what lists warn of, and where light is still to come, that. */
  makeLookout() {
    const items = this.table.lookout.map((line) => this.makeLine(line));
    const others = [...this.table.cautions, ...(this.light ? [this.light] : [])];
    this.list = tag("ul", {}, ...items, ...others.map((words) => tag("li", {}, words)));
    return this.list;
  }

  /* What is to be said of light, and the findings written anew. */
  tellLight(words) {
    this.light = words;
    if (!this.node.hidden) this.list.replaceWith(this.makeLookout());
  }

  /* One finding, of this very plant where it is true of it, else of another planted alike. */
  makeLine(line) {
    const own = line.hits.find(([plant]) => plant === this.plant || plant < 0);
    const hit = own || line.hits[0];
    const [, year, first, last, more] = hit;
    const go = tag("button", { type: "button", class: "link" }, `year ${year}`);
    go.addEventListener("click", () => this.on.go(line, hit));
    const span = spanWords({ first, last: last === AFTER ? null : last });
    const words = `${own ? "" : "Another planted alike: "}${own ? line.text : line.text.slice(0, 1).toLowerCase() + line.text.slice(1)}, `;
    return tag("li", {}, words, go, span && ` (${span})`, more && `; ${more}`);
  }

  setYear(year) {
    if (this.node.hidden) return;
    const { height, spread } = this.courses;
    const stands = atYear(height.expected, year) > 0;
    const tall = stands ? sizeWords(height, year, this.unit) : "";
    this.changes.when("tall", tall, () => { this.size.textContent = stands ? `${tall} tall` : "Does not stand in this year"; });
    const wide = stands ? sizeWords(spread, year, this.unit) : "";
    this.changes.when("wide", wide, () => { this.wide.textContent = wide && `${wide} wide`; });
    this.thread.setAttribute("d", this.threadAt(year));
  }
}

const part = (heading, ...nodes) => [tag("h3", {}, heading), ...nodes];

/* "3.4 m" or "11.2 ft"; small metres to the centimetre. */
function lengthIn(metres, { name, metres: unitM }) {
  const value = metres / unitM;
  return `${value.toFixed(name === "m" && value < 1 ? 2 : 1)}\u00a0${name}`;
}

/* "3.4 m (2.8–4.1)" of a yearly range; the range is left out where both ends read alike. */
function sizeWords({ low, expected, high }, year, unit) {
  const [least, likely, most] = [low, expected, high].map((values) => lengthIn(atYear(values, year), unit));
  const bare = (words) => words.split("\u00a0")[0];
  return least === most ? likely : `${likely} (${bare(least)}–${bare(most)})`;
}
