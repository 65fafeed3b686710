/* The ground as numbers in the browser: heights before and after grading at the mesh's nodes,
   read anywhere between them, and the place where a sight line meets it. Metres. */

const RAY_STEPS = 240;
const AT_WINDOW_M = 0.3;

class GroundField {
  constructor(layers, groundPoints) {
    Object.assign(this, layers);
    this.columns = this.x.length;
    this.rows = this.y.length;
    this.after = Float32Array.from({ length: this.rows * this.columns }, (_, i) => groundPoints[3 * i + 2]);
    this.rise = Float32Array.from(layers.rise, (step) => step * layers.riseStep);
    this.west = this.x[0];
    this.south = this.y[0];
    this.wide = this.x[this.columns - 1] - this.west;
    this.deep = this.y[this.rows - 1] - this.south;
    this.share = 1; // 0 the existing ground, 1 the proposed one
    this.moved = this.earth.deepest_m > this.earth.least_m || this.earth.highest_m > this.earth.least_m;
  }

  /* Where a coordinate lies among the kept lines of an axis: [line before it, share to the next]. */
  place(axis, value) {
    const step = axis[1] - axis[0]; // only the last gap may be narrower
    const at = Math.min(Math.max(Math.floor((value - axis[0]) / step), 0), axis.length - 2);
    return [at, Math.min(Math.max((value - axis[at]) / (axis[at + 1] - axis[at]), 0), 1)];
  }

  /* Value of node numbers at a place; beyond the nodes that of the edge. */
  at(numbers, x, y) {
    const [i, u] = this.place(this.x, x);
    const [j, v] = this.place(this.y, y);
    const k = j * this.columns + i;
    const up = k + this.columns;
    return (1 - v) * ((1 - u) * numbers[k] + u * numbers[k + 1]) + v * ((1 - u) * numbers[up] + u * numbers[up + 1]);
  }

  proposed(x, y) { return this.at(this.after, x, y); }

  existing(x, y) { return this.proposed(x, y) - this.at(this.rise, x, y); }

  /* Height as shown, also while the ground moves between the two. */
  height(x, y) { return this.proposed(x, y) - (1 - this.share) * this.at(this.rise, x, y); }

  /* Puts the heights shown into places x, y, z of the nodes. */
  copyHeights(places) {
    const back = 1 - this.share;
    for (let k = 0; k < this.after.length; k += 1) places[3 * k + 2] = this.after[k] - back * this.rise[k];
  }

  inside(x, y) {
    return x >= this.west && x <= this.west + this.wide && y >= this.south && y <= this.south + this.deep;
  }

  /* First place where a ray meets the ground shown, or null. */
  hit(eye, way) {
    const reach = 3 * (this.wide + this.deep) + Math.hypot(eye[0] - this.west, eye[1] - this.south, eye[2]);
    let low = 0;
    for (let n = 1; n <= RAY_STEPS; n += 1) {
      const far = reach * (n / RAY_STEPS) ** 1.5;
      const [x, y, z] = along(eye, way, far);
      if (this.inside(x, y) && z <= this.height(x, y)) return this.refined(eye, way, low, far);
      low = far;
    }
    return null;
  }

  refined(eye, way, low, high) {
    for (let n = 0; n < 20; n += 1) {
      const middle = (low + high) / 2;
      const [x, y, z] = along(eye, way, middle);
      if (this.inside(x, y) && z <= this.height(x, y)) high = middle;
      else low = middle;
    }
    return along(eye, way, high);
  }

  /* Whether ground or a roofed building stands between an eye and a place; a building that holds
     either of them in its box, like a window's own, does not. */
  hides(eye, [x, y, z]) {
    const way = [x - eye[0], y - eye[1], z + 0.2 - eye[2]];
    for (let s = 0.5; s < 0.97; s += 0.03) {
      const [px, py, pz] = along(eye, way, s);
      if (this.inside(px, py) && pz < this.height(px, py) - 0.1) return true;
    }
    return this.boxes.some((box) => crosses(box, eye, way) && !holds(box, eye, AT_WINDOW_M) && !holds(box, [x, y, z], 0));
  }
}

const along = (from, way, far) => from.map((v, k) => v + far * way[k]);

/* Whether a place lies in a box, or so many metres near to it. */
const holds = (box, place, near) => place.every((v, k) => v > box[k] - near && v < box[k + 3] + near);

/* Whether the way from an eye to its end passes a box [low x, y, z, high x, y, z]. */
function crosses(box, eye, way) {
  let [near, far] = [0, 0.99];
  for (let k = 0; k < 3; k += 1) {
    const ends = [box[k] - eye[k], box[k + 3] - eye[k]].map((d) => d / (way[k] || 1e-12));
    near = Math.max(near, Math.min(...ends));
    far = Math.min(far, Math.max(...ends));
  }
  return near < far;
}
