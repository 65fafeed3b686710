/* Contours at the interval chosen, and where their levels are written. */

const PLACE_GRAIN = 65535; // as in viz/contours.py
const HEAVY = 5; // every fifth contour is drawn heavier, as on maps
const LEAST_LABEL_M = 3;

class ContourLines {
  constructor(field) {
    this.field = field;
    this.before = this.unpacked(field.contours.before);
    this.after = this.unpacked(field.contours.after);
  }

  unpacked({ points, counts, lowest, level }) {
    const { west, south, wide, deep } = this.field;
    let from = 0;
    return Array.from(counts, (count, n) => {
      const flat = new Float32Array(2 * count);
      for (let k = 0; k < count; k += 1) {
        flat[2 * k] = west + (points[2 * (from + k)] / PLACE_GRAIN) * wide;
        flat[2 * k + 1] = south + (points[2 * (from + k) + 1] / PLACE_GRAIN) * deep;
      }
      from += count;
      return { flat, level: lowest + level[n] };
    });
  }

  /* The choices as [every nth line, words]. */
  choices() {
    const { fine, every } = this.field.contours;
    return every.map((each) => [each, `${tidy(fine * each)} ${this.field.unit.name}`]);
  }

  /* Proposed contours solid; existing ones dashed where the ground is moved, or alone. */
  paint(overlay, every, existing) {
    if (existing) this.draw(overlay, this.before, every, [10, 7]);
    else {
      this.draw(overlay, this.before.flatMap((line) => this.moved(line)), every, [10, 7]);
      this.draw(overlay, this.after, every, []);
    }
  }

  draw(overlay, lines, every, dash) {
    for (const { flat, level } of lines) {
      if (level % every) continue;
      strokeLine(overlay, flat, { width: level % (HEAVY * every) ? 3 : 5.5, dash });
    }
  }

  /* The parts of a line where grading moves the ground. */
  moved({ flat, level }) {
    const parts = [];
    let part = [];
    for (let k = 0; k < flat.length; k += 2) {
      const here = Math.abs(this.field.at(this.field.rise, flat[k], flat[k + 1])) > this.field.earth.least_m;
      if (here) part.push(flat[k], flat[k + 1]);
      else {
        parts.push(part);
        part = [];
      }
    }
    return [...parts, part].filter((each) => each.length > 2).map((each) => ({ flat: each, level }));
  }

  /* Levels to write: places on each line, the longest lines first. */
  labels(every, existing) {
    const lines = (existing ? this.before : this.after).filter(({ level }) => level % every === 0);
    const found = lines.flatMap(({ flat, level }) => labelPlaces(flat).map(([x, y, long]) => (
      { at: [x, y], text: tidy(level * this.field.contours.fine), kind: "level", rank: long })));
    return found.sort((a, b) => b.rank - a.rank);
  }
}

/* A figure without needless zeros. */
const tidy = (value) => String(Number(value.toFixed(2)));

/* A few places along a line, each with the line's length; none on the shortest lines. */
function labelPlaces(flat) {
  const sums = [0];
  for (let k = 2; k < flat.length; k += 2) sums.push(sums.at(-1) + Math.hypot(flat[k] - flat[k - 2], flat[k + 1] - flat[k - 1]));
  const long = sums.at(-1);
  if (long < LEAST_LABEL_M) return [];
  return [0.5, 0.2, 0.8].map((share) => {
    const n = Math.max(1, sums.findIndex((sum) => sum >= share * long));
    const part = (share * long - sums[n - 1]) / Math.max(sums[n] - sums[n - 1], 1e-9);
    return [0, 1].map((k) => flat[2 * n - 2 + k] + part * (flat[2 * n + k] - flat[2 * n - 2 + k])).concat(long);
  });
}
