/* Two pictures with one camera: the second shares the drawing context of the first, and either
   is drawn only when what it shows changes. The camera stands in yard coordinates, so that
   whoever moves one picture moves both. */

class Pair {
  /* A second picture in a box of its own. */
  constructor(first, box, parts) {
    this.first = first;
    this.parts = parts;
    this.before = false;
    this.second = new Picture(box, first);
    Object.defineProperty(this.second, "camera", { get: () => first.camera, set: (camera) => { first.camera = camera; } });
    this.second.fine = first.fine;
    for (const one of [first, this.second]) one.slower = () => this.slower();
    this.second.look = () => first.look(first.view);
    giveSheet(first);
    giveSheet(this.second);
    first.onpaint = () => this.keepUp(first, this.second);
    this.second.onpaint = () => this.keepUp(this.second, first);
    [this.second.month, this.second.hour] = [first.month, first.hour];
    this.load(first.data);
  }

  /* The parts of another yard, or null for those of the first. */
  setYard(parts) {
    if (parts === (this.other ?? null)) return;
    this.other = parts;
    this.load(parts ?? this.first.data);
  }

  /* Takes what the first picture was given; the views belong to the first. */
  load({ views, ...parts }) {
    const { before } = this;
    this.before = false;
    if (parts.ground) this.field = this.second.overlay = null;
    this.second.load(parts);
    if (before) this.setBefore(true);
  }

  /* One picture was drawn: the other follows where the camera, month or hour is another now. */
  keepUp(one, other) {
    const { first: { month, hour }, second } = this;
    if (second.month !== month || second.hour !== hour) second.setMoment(month, hour);
    one.pose = JSON.stringify(one.camera);
    if (other.pose !== one.pose) other.need();
  }

  /* One picture took too long to be drawn finely: both are drawn less finely, and so alike. */
  slower() {
    this.second.fine = this.first.fine = Math.max(1, this.first.fine - 0.5);
    this.first.need();
    this.second.need();
  }

  setYear(year) {
    this.second.setYear(this.before ? 0 : year);
  }

  /* The surveyed ground with the plants that stay; or the planned one with all of them again. */
  setBefore(before) {
    if (before === this.before) return;
    const { first: { data }, second, parts } = this;
    this.before = before;
    this.field ??= new GroundField(parts.layers, parts.ground.points);
    second.overlay ??= second.layOver(this.field);
    this.field.share = before ? 0 : 1;
    second.moveGround();
    second.overlay.clear();
    if (before) {
      paintExisting(second.overlay);
      strokeLine(second.overlay, this.field.boundary, { width: 3, colour: PALE, casing: INK, closed: true });
    }
    second.load(before ? keptAlone(data, this.field) : { plants: data.plants, sizes: data.sizes });
  }

  /* Takes the second picture away; the first has its canvas back. */
  close() {
    const { first, second } = this;
    first.onpaint = () => {};
    delete first.slower;
    second.lost = true; // what was asked for before is not drawn any more
    clearTimeout(second.resting);
    second.watch.disconnect();
    second.shadeTools?.gl?.getExtension("WEBGL_lose_context")?.loseContext();
    giveBack(second);
    second.groups = [];
    takeSheet(first);
  }
}

/* Plants and sizes of a yard with only the plants that were there before, on the ground as it was. */
function keptAlone({ plants, sizes }, field) {
  const count = plants.kept.length;
  const foot = Float32Array.from(plants.foot);
  for (let i = 0; i < count; i += 1) foot[3 * i + 2] -= field.at(field.rise, foot[3 * i], foot[3 * i + 1]);
  const height = sizes.height.map((high, i) => (plants.kept[i % count] ? high : 0));
  return { plants: { ...plants, foot }, sizes: { ...sizes, height } };
}
