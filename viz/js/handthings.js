/* What is chosen on the plan besides plants: points of a bed's edge, spray heads, and views, by
   where they look from or an end of the panel they look at. A thing is { kind, n, point }: which
   list of the data, which of it, and of a bed which point; half a number means the middle between
   two, where a point can be added. Of a view, 0 and 1 are the ends of its panel, if the document
   writes one. */

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
      this.dots = this.corners(record).map((_, i) => {
        const taken = i === (this.thing.point ?? 2) ? " taken" : "";
        return shape("circle", { class: `grip point${taken}` }, this.ghost);
      });
      if (!record.target) this.dots.slice(0, 2).forEach((dot) => dot.remove());
      this.showView(0, 0);
    }
  }

  /* The ends of a view's panel, and its eye. */
  corners({ eye, panel: [x0, y0, x1, y1], target }) { return target ? [target.from, target.to, eye] : [[x0, y0], [x1, y1], eye]; }

  showView(dx, dy) {
    const corners = this.corners(this.record());
    const moved = this.thing.point ?? 2;
    corners[moved] = [corners[moved][0] + dx, corners[moved][1] + dy];
    this.lines.setAttribute("d", `${linePath(corners.flat())}Z`);
    corners.forEach(([x, y], i) => this.dots[i].setAttribute("transform", `translate(${x} ${y})`));
  }

  reach(touch) { return (touch ? THING_REACH_PX.touch : THING_REACH_PX.mouse) / this.sheet.scale; }

  /* The grip under a place: a point of the chosen bed, an end of the chosen view's panel. */
  gripUnder(x, y, touch) {
    const reach = this.reach(touch);
    const near = ([px, py]) => Math.hypot(px - x, py - y) < reach;
    const record = this.thing && this.record();
    if (this.thing?.kind === "view" && record.target) {
      const end = [record.target.from, record.target.to].findIndex(near);
      if (end >= 0) return { ...this.thing, point: end };
    }
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
    return null;
  }

  /* The heads and eyes within reach of a place, and how far off they are. */
  symbolsAt(x, y, touch) {
    const all = [...this.data.heads.map((_, n) => ({ kind: "head", n })), ...this.data.views.map((_, n) => ({ kind: "view", n }))];
    const told = all.map((thing) => ({ thing, away: Math.hypot(this.at(thing)[0] - x, this.at(thing)[1] - y) }));
    return told.filter(({ away }) => away < this.reach(touch));
  }

  /* The bed under a place, by its points joined straight. */
  bedUnder(x, y) {
    const n = this.data.beds.findIndex((bed) => inside(this.points(bed), x, y));
    return n < 0 ? null : { kind: "bed", n, point: null };
  }

  get movable() {
    const { kind, point } = this.thing;
    if (kind === "view") return point !== undefined || this.record().single;
    return kind === "head" || point !== null;
  }

  /* Where the thing, or the chosen point of it, is. */
  at(thing = this.thing) {
    const record = this.record(thing);
    if (thing.kind === "head") return record.at;
    if (thing.kind === "view") return this.corners(record)[thing.point ?? 2];
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
    if (kind === "view" && point === undefined) return { do: "look", of, eye_m: [x + dx, y + dy] };
    if (kind === "view") return { do: "look", of, target: this.panelMoved([x + dx, y + dy]) };
    if (Number.isInteger(point)) return { do: "move_points", of, points: [point], by_m: [dx, dy] };
    return { do: "add_point", of, after: Math.floor(point), at_m: [x + dx, y + dy] };
  }

  /* The panel of the view with the end in the hand at a place. */
  panelMoved(at) {
    const { from, to, low, high } = this.record().target;
    const ends = [from, to];
    ends[this.thing.point] = at;
    return { from_m: ends[0], to_m: ends[1], low_m: low, high_m: high };
  }

  /* The edit that takes it out; none for a middle, where nothing is yet, or for half a panel. */
  removed() {
    const { kind, point } = this.thing;
    const of = this.record().place;
    if (kind === "view" && point !== undefined) return null;
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
    if (thing.kind === "view") return list[n].target ? { ...thing, n } : { kind: "view", n };
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
