/* Words on the picture at places of the ground: moved with the camera, left out where they would
   overlap, where the ground or a building hides their place, or outside the picture. */

const LABEL_GAP_PX = 6;
const CHIP_ABOVE_PX = 9; // a chip stands above its place, with a stem down to it

class GroundLabels {
  constructor(picture, field) {
    this.picture = picture;
    this.field = field;
    this.node = tag("div", { class: "groundlabels", "aria-hidden": "true" });
    this.labels = [];
  }

  /* Labels as {at, text, kind}, the most important first; none over the node `key`, if it
     stands on the picture. */
  show(labels, key) {
    const { offsetLeft: left, offsetTop: top, offsetWidth: wide, offsetHeight: high } = key;
    this.kept = this.node.parentNode.contains(key) ? [[left, top, left + wide, top + high]] : [];
    this.labels = labels.map((label) => ({ ...label, node: tag("span", { class: label.kind }, label.text) }));
    this.node.replaceChildren(...this.labels.map((label) => label.node));
    this.labels.forEach((label) => Object.assign(label, { wide: label.node.offsetWidth, high: label.node.offsetHeight }));
    this.place();
  }

  place() {
    if (!this.labels.length) return;
    const lens = new Lens(this.picture);
    const taken = [...this.kept];
    for (const { at: [x, y], kind, node, wide, high } of this.labels) {
      const spot = [x, y, this.field.height(x, y)];
      const seen = lens.spot(spot);
      const box = seen && (kind === "chip" ? this.chipBox(seen, wide, high) : [seen[0] - wide / 2, seen[1] - high / 2, seen[0] + wide / 2, seen[1] + high / 2]);
      const free = box && this.fits(box) && !taken.some((other) => overlap(box, other)) && !this.field.hides(lens.eye, spot);
      node.style.visibility = free ? "visible" : "hidden";
      if (!free) continue;
      taken.push(box);
      node.style.setProperty("--stem", `${(seen[0] - box[0]).toFixed(1)}px`);
      node.style.transform = `translate(${box[0].toFixed(1)}px, ${box[1].toFixed(1)}px)`;
    }
  }

  /* A chip above its place, moved sideways as far as the picture's edges ask for. */
  chipBox([x, y], wide, high) {
    const room = this.picture.box.clientWidth - wide - 2;
    const left = x < 0 || x > this.picture.box.clientWidth ? x : Math.max(2, Math.min(x - wide / 2, room));
    return [left, y - high - CHIP_ABOVE_PX, left + wide, y - CHIP_ABOVE_PX];
  }

  fits([left, top, right, bottom]) {
    const { clientWidth, clientHeight } = this.picture.box;
    return left > 0 && top > 0 && right < clientWidth && bottom < clientHeight;
  }
}

const overlap = (a, b) =>
  a[0] < b[2] + LABEL_GAP_PX && b[0] < a[2] + LABEL_GAP_PX && a[1] < b[3] + LABEL_GAP_PX && b[1] < a[3] + LABEL_GAP_PX;
