/* The sheet of the plan: ground, built things and what lies over them, drawn from above in metres
   under one matrix, so that panning and zooming touch a single attribute. Labels, scale bar and
   north stand over it in pixels. */

const PIXELS_A_METRE = { least: 2, most: 400 };
const BAR_PX = 130;
const LABEL_PX = { letter: 6.2, high: 18, down: 4 };

/* Patterns of what lies on the ground: tile in metres, and the stroke of one tile. */
const GROUND_PATTERNS = {
  lawn: [0.9, "M.2 .2v.12M.65 .62v.12"],
  patio: [0.6, "M0 0h.6M0 0v.6"],
  walk: [0.6, "M0 0h.6M0 .3h.6M0 0v.3M.3 .3v.3"],
  steps: [0.4, "M0 0h.4"],
  ramp: [0.5, "M0 .5L.5 0"],
  deck: [0.3, "M0 0h.3"],
  drive: [1.2, "M0 1.2L1.2 0"],
  gravel: [0.5, "M.1 .1h.03M.35 .2h.03M.2 .38h.03"],
  water: [0.8, "M0 .2q.2 -.12 .4 0t.4 0M0 .6q.2 -.12 .4 0t.4 0"],
  bed: [0.5, "M.1 .12h.06M.36 .3h.06M.14 .42h.05"],
};

class PlanSheet {
  constructor() {
    this.node = shape("svg", { class: "plan", tabindex: 0, role: "application", "aria-describedby": "plankeys" });
    this.defs = shape("defs", {}, this.node);
    for (const [name, [size, d]] of Object.entries(GROUND_PATTERNS)) this.addPattern(name, size, d);
    this.world = shape("g", { class: "world" }, this.node);
    const layer = (name) => shape("g", { class: name }, this.world);
    [this.under, this.flat, this.zones, this.plants, this.built, this.over, this.handles] = ["under", "flat", "zones", "plants", "standing", "over", "handles"].map(layer);
    this.labels = shape("g", { class: "labels", "aria-hidden": "true" }, this.node);
    this.bar = shape("g", { class: "scalebar", "aria-hidden": "true" }, this.node);
    this.north = shape("g", { class: "north", "aria-hidden": "true" }, this.node);
    this.drawNorth();
    this.scale = 0;
  }

  addPattern(name, size, d) {
    const pattern = shape("pattern", { id: `ground-${name}`, patternUnits: "userSpaceOnUse", width: size, height: size }, this.defs);
    shape("rect", { class: `fill-${name}`, width: size, height: size }, pattern);
    shape("path", { class: "grain", d }, pattern);
  }

  /* All but the plants; after most edits it is as it was, and stays. */
  draw(data) {
    const { areas, lines, zones, heads, views, north_deg: north } = data;
    const shown = JSON.stringify([areas, lines, zones, heads, views, north]);
    this.data = data;
    if (shown !== this.shown) this.redraw(data);
    this.shown = shown;
    if (this.scale) this.place();
  }

  redraw(data) {
    this.north.firstChild.setAttribute("transform", `rotate(${-data.north_deg})`);
    for (const layer of [this.flat, this.zones, this.built, this.over, this.labels]) layer.replaceChildren();
    this.named = [];
    for (const area of data.areas) this.drawArea(area);
    for (const { kind, name, points } of data.lines) {
      const path = shape("path", { class: `line ${kind}`, d: linePath(points) }, ["overhead", "meter"].includes(kind) ? this.over : this.built);
      shape("title", {}, path).textContent = name;
    }
    for (const { at: [x, y], radius } of data.zones) shape("circle", { class: "zone", cx: x, cy: y, r: radius }, this.zones);
    for (const head of data.heads) this.drawHead(head);
    for (const view of data.views) this.drawView(view);
  }

  /* The picture under everything, by its matrix from pixels to metres; none where there is none. */
  drawUnder({ picture, size: [width, height] = [], matrix }) {
    URL.revokeObjectURL(this.underAt);
    this.under.replaceChildren();
    if (!picture) return;
    this.underAt = URL.createObjectURL(new Blob([picture], { type: "image/jpeg" }));
    shape("image", { href: this.underAt, width, height, preserveAspectRatio: "none", transform: `matrix(${matrix.join(" ")})` }, this.under);
  }

  drawArea({ kind, name, rings }) {
    const d = rings.map((ring) => `${linePath(ring)}Z`).join("");
    const layer = kind === "built" ? this.built : kind === "sight" ? this.over : this.flat;
    const fill = kind === "lot" ? "lawn" : kind;
    const path = shape("path", { class: `area ${kind}`, d, "fill-rule": "evenodd" }, layer);
    if (GROUND_PATTERNS[fill]) path.setAttribute("fill", `url(#ground-${fill})`);
    if (!name || !rings.length) return;
    const text = shape("text", { class: kind }, this.labels);
    text.textContent = name;
    this.named.push({ text, bounds: boundsOf(rings[0]), letters: name.length });
  }

  drawHead({ at: [x, y], throw: radius, arc: [from, to] }) {
    shape("path", { class: "spray", d: sectorPath(x, y, radius, from, to) }, this.over);
    shape("circle", { class: "head", cx: x, cy: y }, this.over);
  }

  drawView({ eye: [x, y], panel: [x0, y0, x1, y1], purpose }) {
    shape("path", { class: `look ${purpose === "screen" ? "screen" : "open"}`, d: `M${x} ${y}L${x0} ${y0}L${x1} ${y1}Z` }, this.over);
    shape("circle", { class: "eye", cx: x, cy: y }, this.over);
  }

  drawNorth() {
    const arrow = shape("g", {}, this.north);
    shape("path", { class: "needle", d: "M0 -20L7 12L0 6L-7 12Z" }, arrow);
    shape("text", { y: -24, "text-anchor": "middle" }, arrow).textContent = "N";
  }

  /* The whole plan in the box. */
  fit() {
    const [west, south, east, north] = this.data.bounds;
    const { width, height } = this.box();
    if (!width) return;
    this.scale = Math.min(width / (east - west), height / (north - south));
    this.left = width / 2 - this.scale * (west + east) / 2;
    this.top = height / 2 + this.scale * (south + north) / 2;
    this.place();
  }

  box() { return this.node.getBoundingClientRect(); }

  place() {
    this.world.setAttribute("transform", `matrix(${this.scale} 0 0 ${-this.scale} ${this.left} ${this.top})`);
    this.node.style.setProperty("--px", `${1 / this.scale}px`);
    const { width, height } = this.box();
    for (const named of this.named) this.placeLabel(named, width, height);
    this.drawBar(width, height);
  }

  /* A name in the middle of what is seen of its area; none where that has no room for it. */
  placeLabel({ text, bounds: [west, south, east, north], letters }, width, height) {
    const [[left, top], [right, bottom]] = [this.toPixels(west, north), this.toPixels(east, south)];
    const [from, to, high, low] = [Math.max(left, 0), Math.min(right, width), Math.max(top, 0), Math.min(bottom, height)];
    const sliver = low - high < Math.min(bottom - top, LABEL_PX.high);
    const fits = to - from > letters * LABEL_PX.letter && !sliver;
    text.style.display = fits ? "" : "none";
    if (!fits) return;
    text.setAttribute("x", (from + to) / 2);
    text.setAttribute("y", Math.min(Math.max((high + low) / 2, LABEL_PX.high / 2), height - LABEL_PX.high / 2) + LABEL_PX.down);
  }

  /* A round length in the document's unit, no longer than BAR_PX. */
  drawBar(width, height) {
    const { unit, unit_m: unitM } = this.data;
    const most = BAR_PX / this.scale / unitM;
    const ten = 10 ** Math.floor(Math.log10(most));
    const length = [5, 2, 1].map((n) => n * ten).find((each) => each <= most);
    const px = length * unitM * this.scale;
    this.bar.replaceChildren();
    this.bar.setAttribute("transform", `translate(14 ${height - 14})`);
    shape("rect", { class: "plate", x: -8, y: -26, width: px + 70, height: 34, rx: 4 }, this.bar);
    shape("path", { class: "rulebar", d: `M0 -6v6h${px}v-6M${px / 2} -4v4` }, this.bar);
    shape("text", { x: px + 8, y: 0 }, this.bar).textContent = `${Number(length.toPrecision(2))} ${unit}`;
    this.north.setAttribute("transform", `translate(${width - 30} 48)`);
  }

  panBy(dx, dy) {
    this.left += dx;
    this.top += dy;
    this.place();
  }

  zoomAt(x, y, factor) {
    const scale = Math.min(PIXELS_A_METRE.most, Math.max(PIXELS_A_METRE.least, this.scale * factor));
    const by = scale / this.scale;
    this.left = x - (x - this.left) * by;
    this.top = y - (y - this.top) * by;
    this.scale = scale;
    this.place();
  }

  toPixels(x, y) { return [this.left + x * this.scale, this.top - y * this.scale]; }
  toMetres(left, top) { return [(left - this.left) / this.scale, (this.top - top) / this.scale]; }
}

function linePath(points) {
  let d = "";
  for (let i = 0; i < points.length; i += 2) d += `${i ? "L" : "M"}${points[i].toFixed(3)} ${points[i + 1].toFixed(3)}`;
  return d;
}

function boundsOf(ring) {
  const xs = ring.filter((_, i) => i % 2 === 0);
  const ys = ring.filter((_, i) => i % 2);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/* Ground that a head throws over, clockwise from one azimuth to the other. */
function sectorPath(x, y, radius, from, to) {
  const turn = ((to - from) % 360 + 360) % 360 || 360;
  const at = (azimuth) => `${x + radius * Math.sin(azimuth * Math.PI / 180)} ${y + radius * Math.cos(azimuth * Math.PI / 180)}`;
  const half = from + turn / 2;
  // in the world y runs up, so that clockwise is sweep 0
  const arc = (end) => `A${radius} ${radius} 0 0 0 ${at(end)}`;
  const round = `${arc(half)}${arc(from + turn)}`;
  return turn === 360 ? `M${at(from)}${round}Z` : `M${x} ${y}L${at(from)}${round}Z`;
}
