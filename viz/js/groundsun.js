/* The sun on the ground: hours a day in the mapped year nearest to the one shown. What a page
   does not hold it asks for when the layer is first chosen, and again until it is reckoned. */

const SUN_UNTIL_H = [2, 4, 6, 8];
const SUNNY = [
  { colour: "#1C1D4D" },
  { colour: "#54408A", pattern: "dots", over: "#C9BEEA" },
  { colour: "#A25C8E", pattern: "lines", over: "#3F1836" },
  { colour: "#E58F68" },
  { colour: "#F9DC7C", pattern: "dots", over: "#7A5A00" },
]; // neighbours differ in pattern too

class GroundSun {
  /* What the page holds, if anything; `changed` is called when there is more to show. */
  constructor(held, changed) {
    this.hours = held;
    this.changed = changed;
  }

  /* Asks until it is there; a later call while it is asked for does nothing. */
  async ask() {
    if (this.hours || this.asking || this.ended) return;
    this.asking = true;
    this.mistake = "";
    const told = await reckonedAt("sun", () => this.ended);
    if (!told) return;
    if (told.mistake) this.mistake = told.mistake;
    else this.hours = told;
    this.asking = false;
    this.changed();
  }

  /* Nothing more is wanted of it. */
  end() { this.ended = true; }

  /* Place of the mapped year nearest to a year, the earlier one of two as near. */
  nearest(year) {
    const { years } = this.hours;
    return years.reduce((best, each, n) => (Math.abs(each - year) < Math.abs(years[best] - year) ? n : best), 0);
  }

  paint(overlay, year) {
    if (!this.hours) return;
    const { pen, field } = overlay;
    const picked = pickedSmoothly(overlay, this.hours, this.hours.tenths[this.nearest(year)], sunClass);
    pen.save();
    ringPath(overlay, [field.boundary]);
    pen.clip();
    pen.drawImage(sheetOf(overlay, picked, SUNNY), 0, 0);
    pen.restore();
  }

  key(year) {
    if (this.mistake) return [{ words: this.mistake }];
    if (!this.hours) return [{ words: "being reckoned: the sun of a year, as the yard grows" }];
    const tenths = this.hours.tenths[this.nearest(year)];
    const present = new Set(Array.from(tenths, sunClass));
    const last = SUN_UNTIL_H.length;
    const words = (n) => (n === 0 ? "under 2 h" : n === last ? "8 h and more" : `${SUN_UNTIL_H[n - 1]} to ${SUN_UNTIL_H[n]} h`);
    return [
      { words: `Year ${this.hours.years[this.nearest(year)]}`, strong: true },
      ...SUNNY.map((tone, n) => ({ tone, words: words(n) })).filter((_, n) => present.has(n)),
      { words: "direct sun a day in the growing season, expected growth; clouds are left out" },
    ];
  }
}

const sunClass = (tenths) => SUN_UNTIL_H.filter((hours) => tenths >= 10 * hours).length;

/* Number of the tone of every pixel, from 1, read evenly between the middles of cells. */
function pickedSmoothly({ canvas, field, scale }, { corner: [x0, y0], cell, columns }, numbers, pick) {
  const { width, height } = canvas;
  const rows = numbers.length / columns;
  const picked = new Uint8Array(width * height);
  const along = (metres, count) => {
    const at = Math.min(Math.max(metres / cell, 0), count - 1);
    const before = Math.min(Math.floor(at), Math.max(count - 2, 0));
    return [before, Math.min(before + 1, count - 1), at - before];
  };
  const across = Array.from({ length: width }, (_, px) => along(field.west + (px + 0.5) / scale - x0, columns));
  for (let py = 0, p = 0; py < height; py += 1) {
    const [low, high, v] = along(field.south + (height - py - 0.5) / scale - y0, rows);
    for (let px = 0; px < width; px += 1, p += 1) {
      const [left, right, u] = across[px];
      const south = (1 - u) * numbers[low * columns + left] + u * numbers[low * columns + right];
      const north = (1 - u) * numbers[high * columns + left] + u * numbers[high * columns + right];
      picked[p] = pick((1 - v) * south + v * north) + 1;
    }
  }
  return picked;
}
