/* A row of plants before it is there: its line and places, drawn as the document will set them,
   and how many there are. */

class RowSketch {
  constructor(sheet) { this.layer = shape("g", { class: "sketch" }, sheet.world); }

  clear() { this.layer.replaceChildren(); }

  /* Draws what is known of a row, metres; gives its count and how far apart, where all is. */
  draw({ x0, y0, x1, y1, spacing }, stepM) {
    this.clear();
    const ends = [[x0, y0], [x1, y1]].filter((end) => !end.includes(null)).map((end) => end.map((each) => stepped(each, stepM)));
    const row = ends.length === 2 ? rowOf(ends, stepped(spacing ?? 0, stepM)) : null;
    if (ends.length === 2) shape("path", { class: "edgeline", d: linePath(ends.flat()) }, this.layer);
    for (const [x, y] of row?.places ?? []) shape("circle", { class: "tobe", cx: x, cy: y, r: row.apart / 2 }, this.layer);
    for (const [x, y] of ends) shape("circle", { class: "grip middle", cx: x, cy: y }, this.layer);
    return row;
  }
}

/* A length in whole steps, as the document writes it. */
function stepped(metres, stepM) { return Math.round(metres / stepM) * stepM; }

/* Plants along a line, half a space from each end: as many as fit best; null without a spacing. */
function rowOf([[x0, y0], [x1, y1]], spacing) {
  const length = Math.hypot(x1 - x0, y1 - y0);
  if (!(spacing > 0) || !length) return null;
  const count = Math.max(1, halfToEven(length / spacing));
  const places = Array.from({ length: count }, (_, i) => {
    const along = (i + 0.5) / count;
    return [x0 + along * (x1 - x0), y0 + along * (y1 - y0)];
  });
  return { count, apart: length / count, places };
}

/* As the server rounds: a half to the even number. */
function halfToEven(value) {
  const low = Math.floor(value);
  return value - low === 0.5 ? low + low % 2 : Math.round(value);
}
