/* What a section cuts, as plain numbers: both grounds, faces of built things, plants' crowns.
   Distances run along the line from its first end. Metres. */

const GROUND_STEPS = 240;
const ENDS = ["low", "expected", "high"];

class SectionCut {
  constructor(field, faces, feet, sizes) {
    this.field = field;
    this.faces = faces; // corners and triangles of built things
    this.feet = feet;
    this.sizes = sizes;
  }

  /* Everything cut by the line from a to b at a year. */
  along(a, b, year) {
    const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const way = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
    return { long, ground: this.ground(a, way, long), walls: this.walls(a, way, long), plants: this.plants(a, way, long, year) };
  }

  /* Distance, existing and proposed height at even steps. */
  ground(a, way, long) {
    return Array.from({ length: GROUND_STEPS + 1 }, (_, n) => {
      const s = (long * n) / GROUND_STEPS;
      const [x, y] = [a[0] + s * way[0], a[1] + s * way[1]];
      return [s, this.field.existing(x, y), this.field.proposed(x, y)];
    });
  }

  /* Straight pieces [s, z, s, z] where the upright plane of the line cuts triangles. */
  walls(a, way, long) {
    const { points, triangles } = this.faces;
    const found = [];
    for (let t = 0; t < triangles.length; t += 3) {
      const corners = [0, 1, 2].map((k) => {
        const at = 3 * triangles[t + k];
        const [dx, dy] = [points[at] - a[0], points[at + 1] - a[1]];
        return [dx * way[0] + dy * way[1], dx * way[1] - dy * way[0], points[at + 2]]; // along, aside, height
      });
      const piece = crossing(corners);
      if (piece && Math.max(piece[0], piece[2]) >= 0 && Math.min(piece[0], piece[2]) <= long) found.push(piece);
    }
    return found;
  }

  /* Plants whose crown the line passes, the tallest first, with sizes at each end. */
  plants(a, way, long, year) {
    const found = [];
    for (let i = 0; i < this.sizes.course.length; i += 1) {
      const [dx, dy] = [this.feet[3 * i] - a[0], this.feet[3 * i + 1] - a[1]];
      const s = dx * way[0] + dy * way[1];
      const aside = Math.abs(dx * way[1] - dy * way[0]);
      const ends = ENDS.map((_, end) => this.sizes.at(i, end, year));
      const half = ends[1].spread / 2;
      if (ends[1].height <= 0 || aside >= half || s < -half || s > long + half) continue;
      found.push({ plant: i, s, aside, foot: this.feet[3 * i + 2], low: ends[0], expected: ends[1], high: ends[2] });
    }
    return found.sort((p, q) => q.expected.height - p.expected.height);
  }
}

/* Sizes of plants at any year, from whole centimetres by quantity, end, year and course. */
class PlantSizes {
  constructor({ sizes, course, outlines, names }, kind, years) {
    Object.assign(this, { sizes, course, outlines, names, kind, years });
    this.courses = sizes.length / (9 * years);
  }

  at(plant, end, year) {
    const [height, spread, base] = [0, 1, 2].map((quantity) => this.one(quantity, end, year, this.course[plant]));
    return { height, spread, base };
  }

  one(quantity, end, year, course) {
    const low = Math.min(Math.max(Math.floor(year), 0), this.years - 1);
    const at = (y) => this.sizes[((quantity * 3 + end) * this.years + y) * this.courses + course] / 100;
    return between(at(low), at(Math.min(low + 1, this.years - 1)), Math.min(Math.max(year - low, 0), 1));
  }

  name(plant) { return this.names[this.kind[plant]]; }

  /* Outline [across, up] of a crown cut `aside` of its middle, right side up, left side down. */
  outline(plant, { height, spread, base }, aside) {
    const radii = this.outlines[this.kind[plant]];
    const right = Array.from(radii, (r, n) => {
      const half = ((r / 255) * spread) / 2;
      const share = (1 - Math.cos((Math.PI * n) / (radii.length - 1))) / 2; // as HEIGHTS in viz/section.py
      return [half >= aside ? Math.sqrt(half ** 2 - aside ** 2) : NaN, base + (height - base) * share];
    }).filter(([half]) => half >= 0);
    return [...right, ...right.map(([half, up]) => [-half, up]).reverse()];
  }
}

/* Where a triangle of [along, aside, height] corners meets aside = 0, or null. */
function crossing(corners) {
  const ends = [];
  for (let k = 0; k < 3; k += 1) {
    const [p, q] = [corners[k], corners[(k + 1) % 3]];
    if (p[1] < 0 === q[1] < 0) continue;
    const share = p[1] / (p[1] - q[1]);
    ends.push(p[0] + share * (q[0] - p[0]), p[2] + share * (q[2] - p[2]));
  }
  return ends.length === 4 ? ends : null;
}
