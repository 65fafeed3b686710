/* The section's line: between two named places, drawn on the picture, or moved end by end with
   the pointer or the arrow keys. The drawing follows the line and the year. */

const FREE = "a free point";
const STRETCHES = [1, 2, 5];
const FIGURES = 10;

class Section {
  constructor(ground) {
    this.ground = ground;
    this.field = ground.field;
    const { section } = this.field;
    const { kind, foot } = ground.parts.plants;
    const years = ground.parts.sizes.years.length;
    this.sizes = new PlantSizes(section, kind, years);
    this.cutter = new SectionCut(this.field, ground.parts.hard, foot, this.sizes);
    this.places = section.places;
    this.line = section.line.map((end) => [...end]);
    this.names = [FREE, FREE];
    this.open = false;
    this.button = tag("button", { class: "button", "aria-expanded": "false" }, "Section");
    this.button.addEventListener("click", () => this.toggle());
    this.node = this.makePanel();
    this.handles = ["A", "B"].map((letter, end) => this.makeHandle(letter, end));
    ground.yard.box.parentNode.append(...this.handles);
    new Draw(this);
  }

  /* Takes all of it off the page. */
  leave() {
    this.open = false; // what listens on the picture's box heeds it no more
    for (const part of [this.node, ...this.handles]) part.remove();
  }

  /* Cuts where another one did, while its place is still there. */
  resume(other) {
    this.line = other.line;
    this.names = other.names.map((name) => (this.places.some((place) => place.name === name) ? name : FREE));
    this.names.forEach((name, end) => { this.selects[end].value = name; });
    this.stretch.value = other.stretch.value;
    if (!other.node.hidden) this.toggle();
  }

  makePanel() {
    this.view = new SectionView(this.sizes, this.field.unit);
    this.selects = [0, 1].map((end) => this.makeSelect(end));
    this.drawing = tag("button", { class: "button", "aria-pressed": "false" }, "Draw it on the picture");
    this.drawing.addEventListener("click", () => this.setDrawing(this.drawing.getAttribute("aria-pressed") === "false"));
    this.stretch = tag("select", { id: "stretch" }, ...STRETCHES.map((by) => tag("option", { value: by }, by === 1 ? "true to scale" : `${by} times`)));
    this.stretch.addEventListener("change", () => this.refresh());
    this.figures = tag("table");
    const close = tag("button", { class: "button" }, "Close");
    close.addEventListener("click", () => { this.toggle(); this.button.focus(); });
    return tag("section", { class: "section", "aria-label": "Section", hidden: "" },
      tag("div", { class: "sectionline" },
        tag("label", { for: "end0" }, "From A"), this.selects[0], tag("label", { for: "end1" }, "to B"), this.selects[1],
        this.drawing, tag("label", { for: "stretch" }, "Heights"), this.stretch, close),
      this.view.node, sectionKey(),
      tag("details", {}, tag("summary", {}, "Levels along the line"), this.figures));
  }

  makeSelect(end) {
    const options = [FREE, ...this.places.map((place) => place.name)].map((name) => tag("option", { value: name }, name));
    const select = tag("select", { id: `end${end}` }, ...options);
    select.addEventListener("change", () => {
      const place = this.places.find((each) => each.name === select.value);
      if (place) this.moveEnd(end, place.at, place.name);
    });
    return select;
  }

  makeHandle(letter, end) {
    const handle = tag("button", { class: "handle", hidden: "", "aria-label": `End ${letter} of the section; arrow keys move it` }, letter);
    handle.addEventListener("pointerdown", (e) => handle.setPointerCapture(e.pointerId));
    handle.addEventListener("pointermove", (e) => {
      const at = handle.hasPointerCapture(e.pointerId) && this.placeUnder(e);
      if (at) this.moveEnd(end, at);
    });
    handle.addEventListener("keydown", (e) => {
      const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
      if (!step) return;
      e.preventDefault();
      this.moveEnd(end, this.line[end].map((v, k) => v + step[k] * this.field.unit.metres));
    });
    return handle;
  }

  toggle() {
    this.open = !this.open;
    this.node.hidden = !this.open;
    this.button.setAttribute("aria-expanded", this.open);
    if (!this.open) this.setDrawing(false);
    this.ground.paint();
    this.refresh();
  }

  setDrawing(on) {
    this.drawing.setAttribute("aria-pressed", on);
    this.ground.yard.box.classList.toggle("drawing", on);
  }

  /* Place on the ground under a pointer, or null. */
  placeUnder(e) {
    const { picture, box } = this.ground.yard;
    const { left, top } = box.getBoundingClientRect();
    const lens = new Lens(picture);
    return this.field.hit(lens.eye, lens.way(e.clientX - left, e.clientY - top))?.slice(0, 2);
  }

  moveEnd(end, at, name = FREE) {
    const { west, south, wide, deep } = this.field;
    this.line[end] = [Math.min(Math.max(at[0], west), west + wide), Math.min(Math.max(at[1], south), south + deep)];
    this.names[end] = name;
    this.selects[end].value = name;
    this.changed();
  }

  changed() {
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.ground.paint();
      this.refresh();
    });
  }

  /* Draws the section anew, for the line and the year shown. */
  refresh() {
    if (!this.open) return;
    const [a, b] = this.line;
    if (Math.hypot(b[0] - a[0], b[1] - a[1]) < 0.5) return;
    const cut = this.cutter.along(a, b, this.ground.yard.years.year);
    this.view.show(cut, this.names, Number(this.stretch.value));
    this.figures.replaceChildren(...levelRows(cut.ground, this.field.unit));
  }

  paint(overlay) {
    if (this.open) strokeLine(overlay, this.line.flat(), { width: 5, colour: "#74094B", casing: "#FFFFFF" });
  }

  /* Both ends on the picture. */
  placeHandles() {
    const lens = new Lens(this.ground.yard.picture);
    this.handles.forEach((handle, end) => {
      const [x, y] = this.line[end];
      const spot = this.open && lens.spot([x, y, this.field.height(x, y)]);
      handle.hidden = !spot;
      if (spot) handle.style.transform = `translate(${spot[0].toFixed(1)}px, ${spot[1].toFixed(1)}px) translate(-50%, -50%)`;
    });
  }
}

/* Drawing the line on the picture: from where the pointer goes down to where it goes up. */
class Draw {
  constructor(section) {
    this.section = section;
    const { box } = section.ground.yard;
    for (const kind of ["pointerdown", "pointermove", "pointerup"]) box.addEventListener(kind, (e) => this.follow(kind, e), { capture: true });
  }

  follow(kind, e) {
    const { section } = this;
    if (!section.open || section.drawing.getAttribute("aria-pressed") !== "true") return;
    e.stopImmediatePropagation();
    const at = section.placeUnder(e);
    if (kind === "pointerdown" && at) {
      this.held = true;
      section.ground.yard.box.setPointerCapture(e.pointerId);
      section.moveEnd(0, at);
    }
    if (this.held && at) section.moveEnd(1, at);
    if (kind !== "pointerup" || !this.held) return;
    this.held = false;
    section.setDrawing(false);
  }
}

function sectionKey() {
  const line = (name, words) => {
    const svg = shape("svg", { width: 28, height: 12, "aria-hidden": "true" });
    shape("path", { d: "M1 6H27", class: name }, svg);
    return tag("span", {}, svg, words);
  };
  return tag("p", { class: "sectionkey" }, line("proposed", "proposed ground"), line("existing", "existing ground"),
    tag("span", {}, tag("i", { class: "swatch cutkey" }), "cut"), tag("span", {}, tag("i", { class: "swatch fillkey" }), "fill"),
    line("crown expected", "plant this year, expected"), line("crown high", "if fast"), line("crown low", "if slow"), line("walls", "built things"));
}

/* Levels at even distances along the line, as rows of a table. */
function levelRows(ground, { metres, name }) {
  const last = ground.length - 1;
  const cells = (kind, words) => words.map((each) => tag(kind, {}, each));
  const rows = Array.from({ length: FIGURES + 1 }, (_, n) => ground[Math.round((n * last) / FIGURES)]);
  const figure = (value) => (value / metres).toFixed(2);
  return [tag("tr", {}, ...cells("th", [`Along, ${name}`, "Existing", "Proposed", "Cut − or fill +"])),
    ...rows.map(([s, before, after]) => tag("tr", {}, ...cells("td", [(s / metres).toFixed(1), figure(before), figure(after), figure(after - before)])))];
}
