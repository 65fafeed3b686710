/* The section drawn: existing and proposed ground, what is built, plants of the year with their
   range. One scale along and up, unless heights are drawn larger, which is then said. */

const MARGIN = { left: 46, right: 14, top: 40, bottom: 44 };
const MOST_HIGH_PX = 380;
const LABELLED_M = 1.2;
const LABEL_WIDE_PX = 120;

class SectionView {
  constructor(sizes, unit) {
    this.sizes = sizes;
    this.unit = unit;
    this.svg = shape("svg", { role: "img" });
    this.node = tag("div", { class: "sectionpicture" }, this.svg);
  }

  /* Draws what was cut; heights are stretched by a factor. */
  show(cut, ends, stretch) {
    this.cut = cut;
    this.stretch = stretch;
    const wide = Math.max(this.node.clientWidth, 280);
    const room = wide - MARGIN.left - MARGIN.right;
    const [lowest, needed, top] = this.reach(stretch);
    this.scale = Math.min(room / cut.long, MOST_HIGH_PX / (stretch * (needed - lowest)));
    const highest = Math.min(top, lowest + MOST_HIGH_PX / (stretch * this.scale));
    this.start = MARGIN.left + (room - this.scale * cut.long) / 2;
    this.base = MARGIN.top + this.scale * stretch * (highest - lowest);
    this.lowest = lowest;
    this.svg.replaceChildren();
    const high = this.base + MARGIN.bottom;
    for (const [key, value] of Object.entries({ viewBox: `0 0 ${wide} ${high}`, width: wide, height: high })) this.svg.setAttribute(key, value);
    this.svg.setAttribute("aria-label", this.words(ends));
    this.drawAxes(highest, ends);
    this.sheet = this.clipped(this.base - MARGIN.top / 2);
    this.drawPlants();
    this.drawGround();
    this.drawWalls();
    this.drawNames();
  }

  /* A group that shows nothing beyond the ends of the line. */
  clipped(high) {
    const clip = shape("clipPath", { id: "sectionends" }, this.svg);
    shape("rect", { x: this.x(0), y: MARGIN.top / 2, width: this.scale * this.cut.long, height: high }, clip);
    return shape("g", { "clip-path": "url(#sectionends)" }, this.svg);
  }

  x(s) { return this.start + this.scale * s; }

  y(z) { return this.base - this.scale * this.stretch * (z - this.lowest); }

  /* Lowest height drawn, the highest that must be, and the highest of all. True to scale all must
     be; drawn larger, heights are for the ground, and what stands on it may be cut off above. */
  reach(stretch) {
    const { ground, walls, plants } = this.cut;
    const grounds = ground.flatMap(([, before, after]) => [before, after]);
    const all = [...grounds, ...walls.flatMap(([, p, , q]) => [p, q]), ...plants.map((p) => p.foot + p.high.height)];
    const low = Math.min(...(stretch > 1 ? grounds : all));
    const most = Math.max(...all);
    const needed = stretch > 1 ? Math.max(...grounds) : most;
    return [low - 0.03 * (needed - low) - 0.3 / stretch, needed + 0.2, most + 0.2];
  }

  path(places, attributes) {
    const d = places.map(([s, z], n) => `${n ? "L" : "M"}${this.x(s).toFixed(1)} ${this.y(z).toFixed(1)}`).join("");
    return shape("path", { d, ...attributes }, this.sheet);
  }

  drawGround() {
    const { ground, long } = this.cut;
    const after = ground.map(([s, , z]) => [s, z]);
    this.path([...after, [long, this.lowest], [0, this.lowest]], { class: "earth" });
    this.fill(ground, (before, proposed) => before > proposed, "cut");
    this.fill(ground, (before, proposed) => before < proposed, "fill");
    this.path(ground.map(([s, z]) => [s, z]), { class: "existing" });
    this.path(after, { class: "proposed" });
  }

  /* The area between both grounds where one is higher. */
  fill(ground, holds, name) {
    const higher = ground.map(([s, before, after]) => [s, holds(before, after) ? before : after]);
    const after = ground.map(([s, , z]) => [s, z]);
    this.path([...higher, ...after.reverse()], { class: name });
  }

  drawWalls() {
    const d = this.cut.walls.map(([s, z, t, w]) => `M${this.x(s).toFixed(1)} ${this.y(z).toFixed(1)}L${this.x(t).toFixed(1)} ${this.y(w).toFixed(1)}`);
    shape("path", { d: d.join(""), class: "walls" }, this.sheet);
  }

  drawPlants() {
    for (const each of this.cut.plants) {
      const { plant, s, aside, foot } = each;
      if (each.expected.base > 0) this.path([[s, foot], [s, foot + each.expected.base]], { class: "stem" });
      for (const end of ["expected", "high", "low"]) {
        const outline = this.sizes.outline(plant, each[end], aside).map(([across, up]) => [s + across, foot + up]);
        if (outline.length > 2) this.path([...outline, outline[0]], { class: `crown ${end}` });
      }
    }
  }

  /* Names of taller plants, with height and range, where there is room. */
  drawNames() {
    const taken = [];
    for (const { plant, s, foot, low, expected, high } of this.cut.plants) {
      if (expected.height < LABELLED_M) break;
      const [x, y] = [this.x(Math.min(Math.max(s, 0), this.cut.long)), Math.max(this.y(foot + high.height) - 6, 28)];
      if (taken.some(([tx, ty]) => Math.abs(tx - x) < LABEL_WIDE_PX && Math.abs(ty - y) < 30)) continue;
      taken.push([x, y]);
      const side = x < 90 ? "start" : x > this.svg.width.baseVal.value - 90 ? "end" : "middle";
      const text = shape("text", { x, y, class: "plantname", "text-anchor": side }, this.svg);
      shape("tspan", { x, dy: -13 }, text).textContent = this.sizes.name(plant);
      shape("tspan", { x, dy: 13 }, text).textContent = `${this.length(expected.height)} (${this.length(low.height, "")}–${this.length(high.height, "")})`;
    }
  }

  drawAxes(highest, ends) {
    const { metres, name } = this.unit;
    const step = roundStep((highest - this.lowest) / metres / Math.max(2, (this.base - MARGIN.top) / 44)) * metres;
    for (let z = Math.ceil(this.lowest / step) * step; z <= highest; z += step) {
      shape("path", { d: `M${this.x(0)} ${this.y(z)}H${this.x(this.cut.long)}`, class: "hair" }, this.svg);
      shape("text", { x: this.x(0) - 6, y: this.y(z) + 4, class: "tick", "text-anchor": "end" }, this.svg).textContent = tidy(z / metres);
    }
    const along = roundStep(this.cut.long / metres / 8) * metres;
    for (let s = along; s <= this.cut.long; s += along) {
      shape("text", { x: this.x(s), y: this.base + 16, class: "tick", "text-anchor": "middle" }, this.svg).textContent = tidy(s / metres);
    }
    [[0, `A, ${ends[0]}`, "start"], [this.cut.long, `${ends[1]}, B`, "end"]].forEach(([s, words, side]) => {
      shape("text", { x: this.x(s), y: this.base + 34, class: "end", "text-anchor": side }, this.svg).textContent = words;
    });
    shape("text", { x: this.x(0) - 6, y: 14, class: "tick", "text-anchor": "end" }, this.svg).textContent = name;
  }

  length(metres, unit = ` ${this.unit.name}`) { return `${(metres / this.unit.metres).toFixed(1)}${unit}`; }

  /* The section in words, for those who do not see it. */
  words(ends) {
    const { long, ground, plants } = this.cut;
    const most = (pick) => Math.max(0, ...ground.map(([, before, after]) => pick(before, after)));
    const tall = plants.filter((p) => p.expected.height >= LABELLED_M).slice(0, 6);
    return [
      `Section from ${ends[0]} to ${ends[1]}, ${this.length(long)} long.`,
      `Proposed ground from ${this.length(ground[0][2])} to ${this.length(ground.at(-1)[2])}.`,
      `Deepest cut ${this.length(most((b, a) => b - a))}, highest fill ${this.length(most((b, a) => a - b))}.`,
      ...tall.map((p) => `${this.sizes.name(p.plant)} ${this.length(p.expected.height)} high, ${this.length(p.low.height, "")} to ${this.length(p.high.height)}, at ${this.length(p.s)}.`),
    ].join(" ");
  }
}

/* The round step, 1, 2 or 5 times a power of ten, that is not smaller than a value. */
function roundStep(value) {
  const ten = 10 ** Math.floor(Math.log10(value));
  return ten * [1, 2, 5, 10].find((each) => each * ten >= value * 0.999);
}
