/* The plan under the hand: what is chosen on it is moved here at once and written by the server
   after; one change at a time is on its way. What the document became is drawn again, and what was
   chosen is found again by its place. */

const SAME_PLACE_M = 0.06;
const START_SPREAD_YEAR = 5;

class HandPlan {
  constructor(model) {
    this.model = model;
    this.sheet = new PlanSheet();
    this.marks = new Marks(this.sheet);
    this.chosen = [];
    this.flight = null; // the change that is on its way, and where it leaves what is chosen
    this.nudged = [0, 0]; // nudges made meanwhile
    this.year = START_SPREAD_YEAR;
    this.panel = new HandPanel({
      undo: () => this.step("undo"), redo: () => this.step("redo"), choose: (chosen) => this.choose(chosen),
      remove: () => this.remove(), nudge: (dx, dy) => this.nudge(dx, dy), moveTo: (x, y) => this.moveTo(x, y),
      look: (words) => model.send_msg({ ask: "search", words }), swap: (plant, size) => this.swap(plant, size),
      arm: (plant, size) => this.arm(plant, size), plantAt: (x, y) => this.plantAt(x, y), answer: (yes) => this.answer(yes),
    });
    this.hands = new Hands(this.sheet, this.marks, {
      press: (x, y, hit, more) => this.press(x, y, hit, more), held: (i, touch) => this.held(i, touch),
      move: (dx, dy) => this.show(dx, dy), drop: (dx, dy) => this.drop(dx, dy), cancel: () => this.cancel(),
      nudge: (dx, dy) => this.nudge(dx, dy), remove: () => this.remove(), clear: () => this.choose([]), any: () => this.chosen.length > 0,
    });
    this.makeNode();
    this.resized = new ResizeObserver(() => this.sheet.fit());
  }

  makeNode() {
    this.news = new News();
    this.readOnly = tag("p", { class: "notice readonly", role: "status", hidden: "" });
    const keys = tag("p", { id: "plankeys", class: "quiet keys" },
      "Drag a plant to move it; by touch, press it first. Drag the ground to pan; wheel, pinch, + and − zoom, 0 shows all. ",
      "Arrow keys nudge what is chosen by 0.1 m, with Shift by 1 m; Delete removes it; Ctrl+Z takes back, Ctrl+Shift+Z makes again.");
    const dig = tag("p", { class: "dig" }, tag("b", {}, "Call before you dig. "), "Buried lines are not on this plan, roots reach beyond what is drawn, and local codes go before it.");
    const box = tag("div", { class: "planbox" }, this.sheet.node, this.zoomButtons());
    const main = tag("div", { class: "planmain" }, this.readOnly, box, this.makeYears(), keys, dig);
    this.news.again.hidden = true;
    this.node = tag("div", { class: "handcolumns" }, this.news.mistake, main, this.panel.node);
    this.node.addEventListener("keydown", (event) => this.key(event));
  }

  zoomButtons() {
    const middle = (factor) => () => { const { width, height } = this.sheet.box(); this.sheet.zoomAt(width / 2, height / 2, factor); };
    const makers = [["+", "Nearer", middle(1.4)], ["−", "Farther", middle(1 / 1.4)], ["All", "Show the whole plan", () => this.sheet.fit()]];
    return tag("div", { class: "zooms" }, ...makers.map(([text, label, act]) => this.panel.button(text, act, label)));
  }

  makeYears() {
    this.slider = tag("input", { type: "range", id: "plan-year", min: 0, max: LAST_PLAN_YEAR, step: 1, value: this.year });
    this.slider.value = this.year;
    this.mature = tag("input", { type: "checkbox", id: "plan-mature" });
    this.told = tag("output", { for: "plan-year" });
    const write = () => {
      this.slider.disabled = this.mature.checked;
      this.marks.size(this.mature.checked ? null : Number(this.slider.value));
      this.told.textContent = this.mature.checked ? "Crowns at mature spread" : `Crowns at the expected spread of year ${this.slider.value}`;
    };
    this.slider.addEventListener("input", write);
    this.mature.addEventListener("change", write);
    this.writeSizes = write;
    return tag("div", { class: "planyears" }, tag("label", { for: "plan-year" }, "Year"), this.slider,
      tag("label", { class: "check" }, this.mature, "Mature"), this.told);
  }

  begin() {
    this.take();
    this.resized.observe(this.sheet.node);
    this.model.on("state", () => this.take());
    this.model.on("found", () => {
      for (const finder of [this.panel.swap, this.panel.add]) finder.tell(this.model.found);
    });
  }

  get allowed() { return !this.state.read_only && this.state.rev > 0; }

  /* What the server told; while plants are in the hand it waits. */
  take() {
    if (this.hands.dragging) {
      this.waiting = true;
      return;
    }
    this.waiting = false;
    const state = this.model.state;
    if (this.state?.count === state.count) return;
    this.state = state;
    const { said } = state;
    const flight = said.kind ? this.flight : null;
    if (said.kind) this.flight = null;
    if (said.kind === "asks") this.asked = flight;
    if (this.model.sheet !== this.known) this.draw(flight && said.kind === "done" ? flight.by : [0, 0]);
    else if (flight) this.show(0, 0);
    this.panel.say(state);
    this.panel.tell(this.chosen, this.allowed);
    this.tellReadOnly(state.read_only);
    this.news.say({ count: state.count, mistakes: state.mistakes, figures: true, read: state.read });
    this.news.again.hidden = true;
    document.title = document.querySelector(".top h1").textContent = `Plan: ${state.title ?? ""}`;
    this.node.dataset.told = state.count;
    this.flush();
  }

  tellReadOnly(why) {
    this.readOnly.hidden = !why;
    this.readOnly.textContent = why ? `Nothing can be moved here: ${why}.` : "";
    this.node.classList.toggle("locked", Boolean(why));
  }

  /* Another document: the plants that were chosen are found where they should be now. */
  draw([dx, dy]) {
    const kept = this.data ? this.chosen.map((i) => this.identity(i, dx, dy)) : [];
    const first = !this.known;
    this.known = this.model.sheet;
    this.data = unpacked(this.known);
    this.sheet.node.setAttribute("aria-label", `Plan with ${this.data.plants.x.length} plants`);
    this.sheet.draw(this.data);
    this.marks.draw(this.data);
    this.writeSizes();
    this.panel.draw(this.data);
    this.chosen = kept.map((each) => this.found(each)).filter((i) => i >= 0);
    this.marks.choose(this.chosen);
    if (first) this.sheet.fit();
  }

  identity(i, dx, dy) {
    const { plants, kinds } = this.data;
    return { x: plants.x[i] + dx, y: plants.y[i] + dy, kind: kinds[plants.kind[i]].name };
  }

  found({ x, y, kind }) {
    const { plants, kinds } = this.data;
    let [best, near] = [-1, SAME_PLACE_M];
    for (let i = 0; i < plants.x.length; i++) {
      const other = kinds[plants.kind[i]].name === kind ? 0 : SAME_PLACE_M / 2;
      const away = Math.hypot(plants.x[i] - x, plants.y[i] - y) + other;
      if (away < near) [best, near] = [i, away];
    }
    return best;
  }

  choose(chosen) {
    this.chosen = [...new Set(chosen)];
    this.marks.choose(this.chosen);
    this.panel.tell(this.chosen, this.allowed);
  }

  press(x, y, hit, more) {
    if (this.set) this.plantAt(x, y);
    else if (more && hit >= 0) this.choose(this.chosen.includes(hit) ? this.chosen.filter((i) => i !== hit) : [...this.chosen, hit]);
    else this.choose(hit < 0 ? [] : [hit]);
  }

  /* Whether a press on a plant takes hold of it; a mouse also chooses it. */
  held(i, touch) {
    if (!this.allowed || this.flight || this.set) return false;
    if (!this.chosen.includes(i)) {
      if (touch) return false;
      this.choose([i]);
    }
    return true;
  }

  show(dx, dy) {
    for (const i of this.chosen) this.marks.at(i, dx, dy);
  }

  cancel() {
    this.show(0, 0);
    if (this.waiting) this.take();
  }

  drop(dx, dy) {
    const lost = this.chosen.length;
    if (this.waiting) this.take();
    if (this.chosen.length < lost) {
      this.panel.say({ ...this.state, said: { kind: "refused", words: "The plant was changed elsewhere while it was in the hand." } });
      return;
    }
    this.show(dx, dy);
    this.move(dx, dy);
  }

  move(dx, dy) {
    const by = [dx, dy];
    this.edit(editOf(tablesOf(this.data, this.chosen), { do: "move", by_m: by }), by);
  }

  moveTo(x, y) {
    const [i] = this.chosen;
    const [dx, dy] = [x - this.data.plants.x[i], y - this.data.plants.y[i]];
    if (!this.flight) this.drop(dx, dy);
  }

  nudge(dx, dy) {
    if (!this.chosen.length || !this.allowed) return;
    this.nudged = [this.nudged[0] + dx, this.nudged[1] + dy];
    const [x, y] = this.flight?.by ?? [0, 0];
    this.show(x + this.nudged[0], y + this.nudged[1]);
    this.flush();
  }

  flush() {
    const [dx, dy] = this.nudged;
    if (this.flight || (!dx && !dy)) return;
    this.nudged = [0, 0];
    if (!this.chosen.length || !this.allowed) return;
    this.show(dx, dy);
    this.move(dx, dy);
  }

  remove() {
    if (this.chosen.length) this.edit(editOf(tablesOf(this.data, this.chosen), { do: "remove" }));
  }

  swap(plant, size) {
    const { plants, kinds } = this.data;
    const edits = tablesOf(this.data, this.chosen);
    const changes = { do: "swap" };
    if (this.chosen.some((i) => kinds[plants.kind[i]].name !== plant)) changes.plant = plant;
    if (size) changes.size = size;
    this.edit(editOf(edits, changes));
  }

  arm(plant, size) {
    this.set = plant ? { plant: plant.name, size } : null;
    this.node.classList.toggle("setting", Boolean(plant));
  }

  plantAt(x, y) {
    if (this.set) this.edit({ do: "plant", ...this.set, at_m: [[x, y]] });
  }

  edit(edit, by = [0, 0]) { this.ask({ ask: "edit", edit }, by); }
  step(ask) { this.ask({ ask }); }

  ask(message, by = [0, 0]) {
    if (this.flight || !this.allowed) return;
    this.flight = { message: { ...message, rev: this.state.rev }, by };
    this.model.send_msg(this.flight.message);
  }

  /* The change that was asked about, over the document's; or not. */
  answer(yes) {
    if (!yes || this.flight) return;
    this.flight = this.asked;
    this.model.send_msg({ ...this.asked.message, answer: this.state.said.answer });
  }

  key(event) {
    const typing = event.composedPath()[0].matches?.("input:not([type=range]):not([type=checkbox])");
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || typing) return;
    event.preventDefault();
    this.step(event.shiftKey ? "redo" : "undo");
  }

  end() { this.resized.disconnect(); }
}

const LAST_PLAN_YEAR = 30;

/* Panel's entry: the plan begins once its nodes are in the page. */
export function render({ model }) {
  const plan = new HandPlan(model);
  requestAnimationFrame(() => plan.begin());
  model.on("remove", () => plan.end());
  return plan.node;
}
