/* The camera as a lens: where places appear in the picture, and which way a pixel looks. */

const WIDE = 16 / 9; // shape of the picture that a view's angle is meant for

/* Half the picture's width at distance 1; wider pictures than meant show more at the sides. */
const halfWidth = (angle, shape) => Math.tan((angle * Math.PI) / 360) * Math.max(1, shape / WIDE);

class Lens {
  constructor({ camera, box }) {
    this.eye = camera.position;
    [this.wide, this.high] = [Math.max(box.clientWidth, 1), Math.max(box.clientHeight, 1)];
    this.half = halfWidth(camera.angle, this.wide / this.high);
    this.ahead = unit(camera.focal.map((f, k) => f - this.eye[k]));
    this.right = unit(cross(this.ahead, camera.up));
    this.up = cross(this.right, this.ahead);
  }

  /* Pixels from left and top of a place in metres; null behind the eye. */
  spot(place) {
    const way = place.map((p, k) => p - this.eye[k]);
    const far = dot(way, this.ahead);
    if (far <= 0) return null;
    const pixels = this.wide / (2 * this.half * far);
    return [this.wide / 2 + pixels * dot(way, this.right), this.high / 2 - pixels * dot(way, this.up)];
  }

  /* Unit vector of the sight line through a pixel. */
  way(left, top) {
    const step = (2 * this.half) / this.wide;
    const [a, b] = [(left - this.wide / 2) * step, (this.high / 2 - top) * step];
    return unit(this.ahead.map((v, k) => v + a * this.right[k] + b * this.up[k]));
  }
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (v) => v.map((x) => x / Math.hypot(...v));
