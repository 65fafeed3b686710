/* What is chosen on the plan besides plants: points of a bed's edge, spray heads, and where views
   look from. A thing is { kind, n, point }: which list of the data, which of it, and of a bed which
   point; half a number means the middle between two, where a point can be added. */

const THING_REACH_PX = { mouse: 10, touch: 22 };

class Things {
  constructor(sheet) {
    this.sheet = sheet;
    this.thing = null;
  }

  draw(data) {
    this.data = data;
    this.choose(null);
  }

  /* The table of the document that a thing is. */
  record(thing = this.thing) { return this.data[{ bed: "beds", head: "heads", view: "views" }[thing.kind]][thing.n]; }

  choose(thing) {
    this.thing = thing;
    this.sheet.handles.replaceChildren();
    if (!thing) return;
    if (thing.kind === "bed") this.drawBed();
    else this.drawGhost();
  }

  points(bed) { return Array.from({ length: bed.points.length / 2 }, (_, i) => bed.points.slice(2 * i, 2 * i + 2)); }

  drawBed() {
    const points = this.points(this.record());
    this.edge = shape("path", { class: "edgeline" }, this.sheet.handles);
    this.grips = new Map();
    points.forEach(([x, y], i) => {
      const [x1, y1] = points[(i + 1) % points.length];
      this.addGrip(i + 0.5, (x + x1) / 2, (y + y1) / 2, "middle");
    });
    points.forEach(([x, y], i) => this.addGrip(i, x, y, "point"));
    this.showEdge(points);
  }

  addGrip(number, x, y, word) {
    const taken = number === this.thing.point ? " taken" : "";
    this.grips.set(number, shape("circle", { class: `grip ${word}${taken}`, cx: x, cy: y }, this.sheet.handles));
  }

  showEdge(points) { this.edge.setAttribute("d", `${linePath(points.flat())}Z`); }

  drawGhost() {
    const record = this.record();
    this.ghost = shape("g", { class: "ghost" }, this.sheet.handles);
    if (this.thing.kind === "head") {
      const [x, y] = record.at;
      shape("path", { class: "spray", d: sectorPath(x, y, record.throw, ...record.arc) }, this.ghost);
      shape("circle", { class: "grip point taken", cx: x, cy: y }, this.ghost);
    } else {
      this.lines = shape("path", { class: "look" }, this.ghost);
      const [x, y] = record.eye;
      this.dot = shape("circle", { class: "grip point taken", cx: x, cy: y }, this.ghost);
      this.showView(0, 0);
    }
  }

  showView(dx, dy) {
    const { eye: [x, y], panel: [x0, y0, x1, y1] } = this.record();
    this.lines.setAttribute("d", `M${x + dx} ${y + dy}L${x0} ${y0}L${x1} ${y1}Z`);
    this.dot.setAttribute("transform", `translate(${dx} ${dy})`);
  }

  /* The thing under a place: grips of a chosen bed first, then heads and eyes, then beds. */
  under(x, y, touch) {
    const reach = (touch ? THING_REACH_PX.touch : THING_REACH_PX.mouse) / this.sheet.scale;
    const near = ([px, py]) => Math.hypot(px - x, py - y) < reach;
    if (this.thing?.kind === "bed") {
      const points = this.points(this.record());
      const at = points.findIndex(near);
      if (at >= 0) return { ...this.thing, point: at };
      const middle = points.findIndex(([px, py], i) => {
        const [qx, qy] = points[(i + 1) % points.length];
        return near([(px + qx) / 2, (py + qy) / 2]);
      });
      if (middle >= 0) return { ...this.thing, point: middle + 0.5 };
    }
    const head = this.data.heads.findIndex((each) => near(each.at));
    if (head >= 0) return { kind: "head", n: head };
    const view = this.data.views.findIndex((each) => near(each.eye));
    if (view >= 0) return { kind: "view", n: view };
    return null;
  }

  /* The bed under a place, by its points joined straight. */
  bedUnder(x, y) {
    const n = this.data.beds.findIndex((bed) => inside(this.points(bed), x, y));
    return n < 0 ? null : { kind: "bed", n, point: null };
  }

  get movable() {
    const { kind, point } = this.thing;
    return kind === "bed" ? point !== null : kind === "head" || this.record().single;
  }

  /* Where the thing, or the chosen point of it, is. */
  at(thing = this.thing) {
    const record = this.record(thing);
    if (thing.kind === "head") return record.at;
    if (thing.kind === "view") return record.eye;
    if (thing.point === null) return null;
    const points = this.points(record);
    const [a, b] = [points[Math.floor(thing.point)], points[Math.ceil(thing.point) % points.length]];
    return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  }

  same(other) {
    return this.thing !== null && this.thing.kind === other.kind && this.thing.n === other.n && this.thing.point === other.point;
  }

  show(dx, dy) {
    if (this.thing.kind === "head") this.ghost.setAttribute("transform", `translate(${dx} ${dy})`);
    else if (this.thing.kind === "view") this.showView(dx, dy);
    else this.showPoint(dx, dy);
  }

  showPoint(dx, dy) {
    const { point } = this.thing;
    if (point === null) return;
    const points = this.points(this.record());
    const [x, y] = this.at();
    if (Number.isInteger(point)) points[point] = [x + dx, y + dy];
    else points.splice(Math.ceil(point), 0, [x + dx, y + dy]);
    this.grips.get(point).setAttribute("transform", `translate(${dx} ${dy})`);
    this.showEdge(points);
  }

  /* The edit that moves it. */
  moved(dx, dy) {
    const { kind, point } = this.thing;
    const of = this.record().place;
    const [x, y] = this.at();
    if (kind === "head") return { do: "move", of, by_m: [dx, dy] };
    if (kind === "view") return { do: "look", of, eye_m: [x + dx, y + dy] };
    if (Number.isInteger(point)) return { do: "move_points", of, points: [point], by_m: [dx, dy] };
    return { do: "add_point", of, after: Math.floor(point), at_m: [x + dx, y + dy] };
  }

  /* The edit that takes it out; none for a middle, where nothing is yet. */
  removed() {
    const { kind, point } = this.thing;
    const of = this.record().place;
    if (kind !== "bed" || point === null) return { do: "remove", of };
    return Number.isInteger(point) ? { do: "remove_point", of, point } : null;
  }

  /* The same thing in another document; a point that was added in a middle is a point now. */
  again(data, thing, record, added) {
    const list = data[{ bed: "beds", head: "heads", view: "views" }[thing.kind]];
    const n = list.findIndex((each) => each.place === record.place && each.name === record.name);
    if (n < 0) return null;
    let point = thing.point ?? null;
    if (added && point !== null && !Number.isInteger(point)) point = Math.ceil(point);
    if (thing.kind === "bed" && point !== null && point >= list[n].points.length / 2) point = null;
    return thing.kind === "bed" ? { ...thing, n, point } : { ...thing, n };
  }
}

/* Whether a place lies inside a ring, by the crossings of a line to the east. */
function inside(ring, x, y) {
  let odd = false;
  ring.forEach(([x0, y0], i) => {
    const [x1, y1] = ring[(i + 1) % ring.length];
    if ((y0 > y) !== (y1 > y) && x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)) odd = !odd;
  });
  return odd;
}
