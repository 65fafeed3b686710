/* Rings on the picture: the chosen plant, and the place of a finding, each with a chip that says
   what it is. They follow the camera; what ground or a building hides mostly is not ringed. */

const CHIP_GAP_PX = 8;
const RING_PX = 5; // a ring stands off what it rings

class Rings {
  /* field() gives heights of the ground and what they hide. */
  constructor(box, field) {
    this.box = box;
    this.field = field;
    this.slots = new Map();
    this.art = shape("svg", {});
    this.node = tag("div", { class: "rings", "aria-hidden": "true" }, this.art);
  }

  /* Rings `points`, an outline in order or a `cloud` of which the hull is drawn; points on the
     ground come without height. Chip: [name, words]. */
  set(name, { points, cloud = false, chip }) {
    if (!points.length) return this.clear(name);
    const slot = this.slots.get(name) ?? this.made(name);
    Object.assign(slot, { points: this.placed(points), cloud });
    slot.title.textContent = chip[0];
    slot.words.textContent = ` ${chip[1]}`;
  }

  made(name) {
    const group = shape("g", { class: name }, this.art);
    const lines = ["under", "over"].map((look) => shape("path", { class: look }, group));
    const [title, words] = [tag("b"), tag("span")];
    const label = tag("span", { class: "chip" }, title, words);
    this.node.append(label);
    const slot = { group, lines, label, title, words };
    this.slots.set(name, slot);
    return slot;
  }

  clear(name) {
    const slot = this.slots.get(name);
    slot?.group.remove();
    slot?.label.remove();
    this.slots.delete(name);
  }

  placed(points) {
    return points.map(([x, y, z]) => [x, y, z ?? this.field().height(x, y)]);
  }

  /* Whether most of some places would be seen from a camera: [x, y] or [x, y, z] each. */
  sees(camera, points) {
    return this.seen(new Lens({ camera, box: this.box }), this.placed(points)) !== null;
  }

  /* Pixels of the points, or null where most are hidden, outside or behind the eye. */
  seen(lens, points) {
    const spots = points.map((point) => lens.spot(point));
    if (spots.some((spot) => !spot)) return null;
    const step = Math.ceil(points.length / 24);
    const looked = points.filter((_, n) => n % step === 0);
    const inside = spots.filter((_, n) => n % step === 0)
      .filter(([x, y]) => x > 0 && y > 0 && x < this.box.clientWidth && y < this.box.clientHeight);
    const hidden = looked.filter((point) => this.field().hides(lens.eye, point));
    return inside.length > 0 && hidden.length <= looked.length / 2 ? spots : null;
  }

  /* Draws all rings for the picture's camera. */
  place(camera) {
    if (!this.slots.size) return;
    const lens = new Lens({ camera, box: this.box });
    const taken = [];
    for (const slot of [...this.slots.values()].reverse()) {
      const spots = this.seen(lens, slot.points);
      slot.group.style.display = spots ? "" : "none";
      slot.label.hidden = !spots;
      if (!spots) continue;
      const ring = slot.cloud ? widened(hull(spots), RING_PX) : spots;
      const d = `M${ring.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;
      slot.lines.forEach((line) => line.setAttribute("d", d));
      this.placeChip(slot.label, ring, taken);
    }
  }

  /* Above its ring, else below it, else on it; not over another chip. */
  placeChip(label, ring, taken) {
    const [wide, high] = [label.offsetWidth, label.offsetHeight];
    const [xs, ys] = [0, 1].map((k) => ring.map((spot) => spot[k]));
    const { clientWidth, clientHeight } = this.box;
    const left = Math.max(4, Math.min((Math.min(...xs) + Math.max(...xs) - wide) / 2, clientWidth - wide - 4));
    const tops = [Math.min(...ys) - high - CHIP_GAP_PX, Math.max(...ys) + CHIP_GAP_PX, 4];
    const boxes = tops.map((top) => [left, top, left + wide, top + high]);
    const fits = ([, top, , bottom], n) => (n === 2 || (top >= 4 && bottom <= clientHeight - 44)) && !taken.some((other) => overlap(boxes[n], other));
    const box = boxes.find(fits);
    label.hidden = !box;
    if (!box) return;
    taken.push(box);
    label.style.transform = `translate(${box[0].toFixed(1)}px, ${box[1].toFixed(1)}px)`;
  }
}

/* The convex hull of [x, y] places, in order (monotone chain). */
function hull(spots) {
  const sorted = [...spots].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const turn = (o, a, b) => (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
  const half = (places) => {
    const chain = [];
    for (const place of places) {
      while (chain.length > 1 && turn(chain[chain.length - 2], chain[chain.length - 1], place) <= 0) chain.pop();
      chain.push(place);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

/* A hull moved outwards from its middle. */
function widened(ring, px) {
  const middle = [0, 1].map((k) => ring.reduce((sum, spot) => sum + spot[k], 0) / ring.length);
  return ring.map((spot) => {
    const out = spot.map((v, k) => v - middle[k]);
    const long = Math.max(Math.hypot(...out), 1);
    return spot.map((v, k) => v + (px * out[k]) / long);
  });
}
