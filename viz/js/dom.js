/* Small makers of HTML and SVG nodes, and the page's own shapes.
   Text always enters as textContent: names from a document are data, never markup. */

const FIGURE = /(\d[\d.,]*\s%(?:\s\([^()]*\))?|\(\d[^()]*\))/; // 47 % (8–87), (2 to 5)
const SVG = "http://www.w3.org/2000/svg";

/* An HTML element; attributes, then children (strings become text nodes). */
function tag(name, attributes = {}, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) node.setAttribute(key, value);
  }
  node.append(...children.filter((child) => child !== null));
  return node;
}

/* Words as children of a node, a figure with its range kept on one line. */
function unbroken(words) {
  return words.split(FIGURE).map((part, i) => (i % 2 ? tag("span", { class: "unbroken" }, part) : part));
}

/* An SVG element, appended to `parent` where one is given. */
function shape(name, attributes, parent = null) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (parent) parent.append(node);
  return node;
}

/* Colour token of each band of events. */
const BAND_COLOUR = { fills: "var(--leaf)", blocks: "var(--lost)", passes: "var(--edge)", rule: "var(--rule)" };

/* Paths on a 14 px square: two halves meeting, a disc filling from below, one line crossing
   another, a gate. */
const BAND_SHAPE = {
  fills: [["M6.2 2a5 5 0 0 0 0 10z", true], ["M7.8 2a5 5 0 0 1 0 10z", true]],
  blocks: [["M2 7a5 5 0 0 1 10 0a5 5 0 0 1 -10 0", false], ["M2 7a5 5 0 0 0 10 0z", true]],
  passes: [["M1.5 12 12.5 2M1.5 6l11 4", false]],
  rule: [["M3 1.5h8M3 12.5h8M7 1.5v11", false]],
};

/* The 14 px shape of a band; it always stands beside words. */
function bandShape(band) {
  const svg = shape("svg", { width: 14, height: 14, viewBox: "0 0 14 14", "aria-hidden": "true" });
  svg.style.cssText = `color:${BAND_COLOUR[band]};flex:none`;
  for (const [d, filled] of BAND_SHAPE[band]) {
    const paint = filled ? { fill: "currentColor" } : { fill: "none", stroke: "currentColor", "stroke-width": 1.9 };
    shape("path", { d, ...paint }, svg);
  }
  return svg;
}

/* Three squares, slow to fast growth; a filled one meets the limit. */
function squares(marks) {
  const svg = shape("svg", { width: 31, height: 10, viewBox: "0 0 31 10", "aria-hidden": "true" });
  [...marks].forEach((mark, i) => {
    const fill = mark === "1" ? "currentColor" : "none";
    shape("rect", { x: i * 10.5 + 0.75, y: 0.75, width: 8, height: 8, fill, stroke: "currentColor", "stroke-width": 1.5 }, svg);
  });
  return svg;
}

/* An icon drawn by one stroked path, for buttons that also carry a word or a label. */
function strokeIcon(d, width, height) {
  const svg = shape("svg", { width, height, viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" });
  shape("path", { d, fill: "none", stroke: "currentColor", "stroke-width": 1.8 }, svg);
  return svg;
}

/* A name as the start of a sentence; only its first letter changes. */
function sentenceCase(name) {
  return name.slice(0, 1).toUpperCase() + name.slice(1);
}

/* Runs `write` only when the value kept under `key` changes. */
class Changes {
  constructor() { this.kept = new Map(); }
  when(key, value, write) {
    if (this.kept.get(key) === value) return;
    this.kept.set(key, value);
    write(value);
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
