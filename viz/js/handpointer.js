/* Hands on the plan: pointer, wheel and keys choose, move, pan and zoom. A finger moves only what
   is chosen already, so that it can pan over full beds; a mouse moves what it takes hold of. */

const STEADY_PX = 4;
const NUDGE_M = { plain: 0.1, far: 1 };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const PAN_PX = 60;

class Hands {
  /* on.hit(x, y, touch) is what lies there, or null; on.press(x, y, hit, more) chooses;
     on.held(hit, touch) tells whether it may be moved; on.move(dx, dy), on.drop(dx, dy),
     on.cancel(); on.any(), on.nudge(dx, dy), on.remove(), on.clear(). */
  constructor(sheet, on) {
    Object.assign(this, { sheet, on, fingers: new Map(), doing: null });
    const { node } = sheet;
    node.addEventListener("pointerdown", (event) => this.down(event));
    node.addEventListener("pointermove", (event) => this.moved(event));
    node.addEventListener("pointerup", (event) => this.up(event));
    node.addEventListener("pointercancel", (event) => this.gone(event));
    node.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    node.addEventListener("keydown", (event) => this.key(event));
  }

  get dragging() { return this.doing?.kind === "held"; }

  local(event) { return [event.clientX - this.corner.left, event.clientY - this.corner.top]; }

  down(event) {
    if (event.button > 1) return;
    this.corner = this.sheet.box();
    this.sheet.node.setPointerCapture(event.pointerId);
    this.fingers.set(event.pointerId, this.local(event));
    if (this.fingers.size === 2) {
      if (this.dragging) this.on.cancel();
      this.doing = { kind: "pinch", apart: this.apart() };
      return;
    }
    if (this.fingers.size > 2) return;
    const from = this.local(event);
    const touch = event.pointerType === "touch";
    const [x, y] = this.sheet.toMetres(...from);
    const hit = event.button === 1 ? null : this.on.hit(x, y, touch);
    this.doing = { kind: "press", from, hit, touch, more: event.shiftKey };
  }

  moved(event) {
    if (!this.fingers.has(event.pointerId)) return;
    const at = this.local(event);
    let before = this.fingers.get(event.pointerId);
    this.fingers.set(event.pointerId, at);
    const { doing } = this;
    if (doing.kind === "pinch") this.pinch();
    else if (doing.kind === "press" && Math.hypot(at[0] - doing.from[0], at[1] - doing.from[1]) > STEADY_PX) {
      doing.kind = doing.hit && this.on.held(doing.hit, doing.touch) ? "held" : "pan";
      before = doing.from;
    }
    if (doing.kind === "pan") this.sheet.panBy(at[0] - before[0], at[1] - before[1]);
    if (doing.kind === "held") this.on.move(...this.way(at));
  }

  up(event) {
    const at = this.fingers.get(event.pointerId);
    this.fingers.delete(event.pointerId);
    const { doing } = this;
    if (!at || !doing) return;
    if (this.fingers.size) {
      this.doing = { kind: "pan", from: [...this.fingers.values()][0] };
      return;
    }
    this.doing = null;
    if (doing.kind === "press") this.on.press(...this.sheet.toMetres(...at), doing.hit, doing.more);
    if (doing.kind === "held") this.on.drop(...this.way(at, doing));
  }

  gone(event) {
    this.fingers.delete(event.pointerId);
    const { dragging } = this;
    if (!this.fingers.size) this.doing = null;
    if (dragging) this.on.cancel();
  }

  way(at, doing = this.doing) {
    return [(at[0] - doing.from[0]) / this.sheet.scale, (doing.from[1] - at[1]) / this.sheet.scale];
  }

  apart() {
    const [[x0, y0], [x1, y1]] = [...this.fingers.values()];
    return { length: Math.hypot(x1 - x0, y1 - y0), x: (x0 + x1) / 2, y: (y0 + y1) / 2 };
  }

  pinch() {
    const [before, now] = [this.doing.apart, this.apart()];
    this.doing.apart = now;
    this.sheet.panBy(now.x - before.x, now.y - before.y);
    this.sheet.zoomAt(now.x, now.y, now.length / Math.max(before.length, 1));
  }

  wheel(event) {
    event.preventDefault();
    this.corner = this.sheet.box();
    this.sheet.zoomAt(...this.local(event), 1.0015 ** -event.deltaY);
  }

  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const act = this.keyed(event);
    if (!act) return;
    event.preventDefault();
    act();
  }

  keyed({ key, shiftKey }) {
    const { width, height } = this.sheet.box();
    const zoom = (factor) => () => this.sheet.zoomAt(width / 2, height / 2, factor);
    if (ARROWS[key]) {
      const [east, north] = ARROWS[key];
      const by = shiftKey ? NUDGE_M.far : NUDGE_M.plain;
      if (this.on.any()) return () => this.on.nudge(east * by, north * by);
      return () => this.sheet.panBy(-east * PAN_PX, north * PAN_PX);
    }
    if (key === "Escape" && this.dragging) {
      return () => { this.doing = { kind: "spent" }; this.on.cancel(); };
    }
    return {
      Delete: () => this.on.remove(), Backspace: () => this.on.remove(), Escape: () => this.on.clear(),
      "+": zoom(1.25), "=": zoom(1.25), "-": zoom(0.8), 0: () => this.sheet.fit(),
    }[key];
  }
}
