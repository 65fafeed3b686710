/* Which plant a sight line meets first: crowns as the checks have them, bodies of revolution in
   pieces whose squared radius is a quadratic of the height, met in closed form. Metres. */

const STEM_M = 0.15; // half the width in which a press meets a bare stem
const NEAR_PX = 7; // a press so near to a crown still means it, where it meets none

/* How far along a ray a plant is met, or Infinity. Pieces are [lo, hi, a, b, c] of its crown (see
   growth/crowns.py); `more` metres are added to its radius. */
function meets(pieces, { height, spread, base }, foot, eye, way, more = 0) {
  const tall = height - base;
  if (!(tall > 0)) return Infinity;
  const half = spread / 2 + more;
  const [x, y, z] = eye.map((v, k) => v - foot[k]);
  const [p, q] = [(z - base) / tall, way[2] / tall]; // relative height p + q t of the ray at t
  const stem = base > 0 ? [[-base / tall, 0, ((STEM_M + more) / half) ** 2, 0, 0]] : [];
  let first = Infinity;
  for (const [lo, hi, a, b, c] of [...stem, ...pieces]) {
    const square = half * half;
    const curve = [
      way[0] ** 2 + way[1] ** 2 - square * c * q * q,
      2 * (x * way[0] + y * way[1]) - square * (b * q + 2 * c * p * q),
      x * x + y * y - square * (a + b * p + c * p * p),
    ];
    first = Math.min(first, firstInside(curve, ...between01(lo, hi, p, q)));
  }
  return first;
}

/* Where a ray of relative height p + q t is between lo and hi, from 0 on. */
function between01(lo, hi, p, q) {
  if (Math.abs(q) < 1e-12) return p >= lo && p <= hi ? [0, Infinity] : [1, 0];
  const ends = [(lo - p) / q, (hi - p) / q];
  return [Math.max(0, Math.min(...ends)), Math.max(...ends)];
}

/* The first t from `from` to `to` at which a t^2 + b t + c is not above zero. */
function firstInside([a, b, c], from, to) {
  if (from > to) return Infinity;
  if (a * from * from + b * from + c <= 0) return from;
  const root = b * b - 4 * a * c;
  if (root < 0) return Infinity;
  const flat = Math.abs(a) < 1e-12;
  const found = (flat ? [-c / b] : [(-b - Math.sqrt(root)) / (2 * a), (-b + Math.sqrt(root)) / (2 * a)])
    .filter((t) => t > from && t <= to);
  return Math.min(Infinity, ...found);
}

/* How far along a ray the first triangle is met, or Infinity. */
function meetsFaces({ points, triangles }, eye, way) {
  let first = Infinity;
  const at = (k) => [points[3 * k], points[3 * k + 1], points[3 * k + 2]];
  const less = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  for (let t = 0; t < triangles.length; t += 3) {
    const corner = at(triangles[t]);
    const [one, two] = [less(at(triangles[t + 1]), corner), less(at(triangles[t + 2]), corner)];
    const over = cross(way, two);
    const whole = dot(one, over);
    if (Math.abs(whole) < 1e-12) continue;
    const from = less(eye, corner);
    const u = dot(from, over) / whole;
    const side = cross(from, one);
    const v = dot(way, side) / whole;
    const far = dot(two, side) / whole;
    if (u >= 0 && v >= 0 && u + v <= 1 && far > 0) first = Math.min(first, far);
  }
  return first;
}

/* Points (3 a place) all over a crown: rings of them at every piece's ends and middle. */
function crownPoints(pieces, { height, spread, base }, [x, y, z]) {
  const sides = 20;
  return pieces.flatMap(([lo, hi, a, b, c]) => [0, 0.25, 0.5, 0.75, 1].flatMap((share) => {
    const h = lo + share * (hi - lo);
    const r = Math.sqrt(Math.max(0, a + b * h + c * h * h)) * spread / 2;
    return Array.from({ length: sides }, (_, n) => {
      const turn = (2 * Math.PI * n) / sides;
      return [x + r * Math.cos(turn), y + r * Math.sin(turn), z + base + h * (height - base)];
    });
  }));
}

/* The plant that a pixel shows, or -1. `sizes(i)` gives height, spread and base; `stop` is how far
   the sight line reaches before the ground or a built thing. */
function plantAt(lens, left, top, { count, foot, kind, envelopes, sizes, stop }) {
  const way = lens.way(left, top);
  const best = (px) => {
    let [found, near] = [-1, stop(way)];
    for (let i = 0; i < count; i += 1) {
      const place = [foot[3 * i], foot[3 * i + 1], foot[3 * i + 2]];
      const far = Math.hypot(...place.map((v, k) => v - lens.eye[k]));
      const t = meets(envelopes[kind[i]], sizes(i), place, lens.eye, way, (px * far * 2 * lens.half) / lens.wide);
      if (t < near) [found, near] = [i, t];
    }
    return found;
  };
  const met = best(0);
  return met >= 0 ? met : best(NEAR_PX);
}
