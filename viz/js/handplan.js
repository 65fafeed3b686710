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
    this.things = new Things(this.sheet);
    this.chosen = [];
    this.flight = null; // the change that is on its way, and where it leaves what is chosen
    this.nudged = [0, 0]; // nudges made meanwhile
    this.year = START_SPREAD_YEAR;
    this.panel = new HandPanel(this.deeds());
    this.sketch = new RowSketch(this.sheet);
    this.hands = new Hands(this.sheet, {
      hit: (x, y, touch) => this.hit(x, y, touch), press: (x, y, hit, more) => this.press(x, y, hit, more), held: (hit, touch) => this.held(hit, touch),
      move: (dx, dy) => this.show(dx, dy), drop: (dx, dy) => this.drop(dx, dy), cancel: () => this.cancel(),
      nudge: (dx, dy) => this.nudge(dx, dy), remove: () => this.remove(), clear: () => this.clear(), any: () => this.movable,
    });
    this.makeNode();
    this.resized = new ResizeObserver(() => this.sheet.fit());
  }

  /* What the panel asks for. */
  deeds() {
    return {
      undo: () => this.step("undo"), redo: () => this.step("redo"), answer: (yes) => this.answer(yes),
      choose: (chosen) => this.choose(chosen), take: (thing) => this.choose([], thing), remove: () => this.remove(),
      nudge: (dx, dy) => this.nudge(dx, dy), moveTo: (x, y) => this.moveTo(x, y),
      look: (words, finder) => { this.finder = finder; this.model.send_msg({ ask: "search", words }); },
      swap: (plant, size) => this.swap(plant, size), clip: (sizes) => this.change({ do: "clip", ...given(sizes) }),
      row: (line, spacing) => this.row(line, spacing), mirror: (line, copies) => this.mirror(line, copies),
      spray: (values) => this.spray(values), eye: (values) => this.edit({ do: "look", of: this.things.record().place, ...values }),
      arm: (plant, size, oneByOne) => this.arm(plant, size, oneByOne), plantAt: (x, y) => this.plantAt(x, y),
      fill: (fill, values) => this.edit({ do: "plant", ...this.set, fill, ...given(values) }),
      plantRow: (line, spacing) => this.edit({ do: "plant", ...this.set, along_m: line, spacing_m: spacing }),
      sketch: (values) => this.sketch.draw(values, this.data.step_m), lining: (form) => this.line(form),
    };
  }

  makeNode() {
    this.news = new News();
    this.readOnly = tag("p", { class: "notice readonly", role: "status", hidden: "" });
    const keys = tag("p", { id: "plankeys", class: "quiet keys" },
      "Drag a plant to move it; by touch, press it first. Drag the ground to pan; wheel, pinch, + and − zoom, 0 shows all. ",
      "Arrow keys nudge what is chosen by 0.1 m (4 in), with Shift by 1 m (3.3 ft); Delete removes it; Ctrl+Z takes back, Ctrl+Shift+Z makes again.");
    const dig = tag("p", { class: "dig" }, tag("b", {}, "Call before you dig. "), "Buried lines are not on this plan, roots reach beyond what is drawn, and local codes go before it.");
    const box = tag("div", { class: "planbox" }, this.sheet.node, this.zoomButtons());
    this.under = new Under(this.sheet);
    const main = tag("div", { class: "planmain" }, this.readOnly, box, this.makeYears(), this.under.node, keys, dig);
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
      this.told.textContent = this.mature.checked ? "Crowns at mature spread" : `Crowns at the expected spread of year ${this.slider.value}, a forecast`;
      if (this.state) this.tellChosen();
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
    this.model.on("found", () => this.finder?.tell(this.model.found));
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
    if (said.kind) {
      this.flight = null;
      this.node.setAttribute("aria-busy", "false");
    }
    if (said.kind === "asks") this.asked = flight;
    if (said.kind === "done" && flight?.message.edit?.along_m) this.unline();
    this.under.draw(this.model.under);
    if (this.model.sheet !== this.known) this.draw(said.kind === "done" ? flight : null);
    else if (flight) this.show(0, 0);
    this.panel.say(state);
    this.tellChosen();
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

  tellChosen() {
    this.panel.tell(this.chosen, this.things, this.allowed);
    const [i] = this.chosen;
    const { year } = this.marks;
    const [low, expected, high] = this.chosen.length === 1 && year !== null ? ["low", "expected", "high"].map((end) => this.marks.spread(i, year, end)) : [];
    this.panel.wide.hidden = !expected;
    if (expected) this.panel.tellWidth(year, low, expected, high);
  }

  /* Another document: what was chosen is found where it should be now. */
  draw(flight) {
    const lands = flight?.lands ?? ((at) => at);
    const kept = this.data ? this.chosen.map((i) => this.identity(i, lands)) : [];
    const { thing } = this.things;
    const record = thing && this.things.record();
    const first = !this.known;
    this.known = this.model.sheet;
    this.data = unpacked(this.known);
    this.sheet.node.setAttribute("aria-label", `Plan with ${this.data.plants.x.length} plants`);
    this.sheet.draw(this.data);
    this.marks.draw(this.data);
    this.things.draw(this.data);
    this.writeSizes();
    this.panel.draw(this.data);
    this.chosen = kept.map((each) => this.found(each)).filter((i) => i >= 0);
    this.marks.choose(this.chosen);
    if (thing) this.things.choose(this.things.again(this.data, thing, record, flight?.message.edit?.do === "add_point"));
    if (first) this.sheet.fit();
  }

  identity(i, lands) {
    const { plants, kinds } = this.data;
    const [x, y] = lands([plants.x[i], plants.y[i]]);
    return { x, y, kind: kinds[plants.kind[i]].name };
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

  choose(chosen, thing = null) {
    this.chosen = [...new Set(chosen)];
    this.marks.choose(this.chosen);
    this.things.choose(thing);
    this.panel.also.hidden = true;
    this.tellChosen();
  }

  get movable() { return this.chosen.length > 0 || Boolean(this.things.thing && this.things.movable); }

  /* What lies at a place: a grip, a foot, head or eye, else a crown, else a bed. */
  hit(x, y, touch) {
    const grip = this.things.gripUnder(x, y, touch);
    if (grip) return { thing: grip };
    const symbol = meant(symbolsAt(this.marks, this.things, x, y, touch), (hit) => this.isChosen(hit), this.sheet.scale);
    if (symbol) return symbol;
    const plant = this.marks.crownOver(x, y);
    if (plant >= 0) return { plant };
    const bed = this.things.bedUnder(x, y);
    return bed && { thing: bed };
  }

  press(x, y, hit, more) {
    if (this.lining) this.drawLine(x, y);
    else if (this.set && this.oneByOne) this.plantAt(x, y);
    else if (!hit) this.choose([]);
    else if (!more || hit.thing) this.chooseOne(hit);
    else this.choose(this.chosen.includes(hit.plant) ? this.chosen.filter((i) => i !== hit.plant) : [...this.chosen, hit.plant]);
  }

  isChosen({ plant, thing }) { return thing ? this.things.same(thing) : this.chosen.includes(plant); }

  /* What was pressed alone; pressed again, what lies in the same place. */
  chooseOne(hit) {
    const again = hit.next && this.chosen.length < 2 && this.isChosen(hit);
    const { plant, thing } = again ? hit.next : hit;
    this.choose(thing ? [] : [plant], thing ?? null);
    this.panel.also.hidden = !hit.next;
  }

  /* The form whose line is pressed on the plan, or none any more. */
  line(form) {
    [this.lining, this.lined] = [form && [], form];
    this.node.classList.toggle("setting", Boolean(form || (this.set && this.oneByOne)));
    this.sketch.clear();
    form?.changed();
  }

  clear() {
    this.choose([]);
    if (this.lining) this.unline();
  }

  unline() {
    this.lining = [];
    this.lined?.show({ x0: null, y0: null, x1: null, y1: null });
  }

  /* The places of a line, pressed one after the other. */
  drawLine(x, y) {
    this.lining = this.lining.length === 1 ? [...this.lining, [x, y]] : [[x, y]];
    const [[x0, y0], [x1, y1] = [null, null]] = this.lining;
    this.lined.show({ x0, y0, x1, y1 });
  }

  /* Whether a press takes hold of what is there; a mouse also chooses it. */
  held(hit, touch) {
    if (!this.allowed || this.flight || this.set || this.lining) return false;
    if (!this.isChosen(hit)) {
      if (touch && (hit.thing?.point ?? null) === null) return false;
      if (hit.thing?.kind === "bed" && hit.thing.point === null) return false;
      if (hit.thing) this.choose([], hit.thing);
      else this.choose([hit.plant]);
    }
    return this.movable;
  }

  show(dx, dy) {
    for (const i of this.chosen) this.marks.at(i, dx, dy);
    if (this.things.thing) this.things.show(dx, dy);
  }

  cancel() {
    this.show(0, 0);
    if (this.waiting) this.take();
  }

  drop(dx, dy) {
    const [held, thing] = [this.chosen.length, this.things.thing];
    if (this.waiting) this.take();
    if (this.chosen.length < held || (thing && !this.things.thing)) {
      this.panel.say({ ...this.state, said: { kind: "refused", words: "It was changed elsewhere while it was in the hand." } });
      return;
    }
    this.show(dx, dy);
    this.move(dx, dy);
  }

  move(dx, dy) {
    const edit = this.things.thing ? this.things.moved(dx, dy) : editOf(tablesOf(this.data, this.chosen, true), { do: "move", by_m: [dx, dy] });
    this.edit(edit, [dx, dy]);
  }

  moveTo(x, y) {
    const { plants } = this.data;
    const [fromX, fromY] = this.things.thing ? this.things.at() : [plants.x[this.chosen[0]], plants.y[this.chosen[0]]];
    if (!this.flight) this.drop(x - fromX, y - fromY);
  }

  nudge(dx, dy) {
    if (!this.movable || !this.allowed) return;
    this.nudged = [this.nudged[0] + dx, this.nudged[1] + dy];
    const [x, y] = this.flight?.by ?? [0, 0];
    this.show(x + this.nudged[0], y + this.nudged[1]);
    this.flush();
  }

  flush() {
    const [dx, dy] = this.nudged;
    if (this.flight || (!dx && !dy)) return;
    this.nudged = [0, 0];
    if (!this.movable || !this.allowed) return;
    this.show(dx, dy);
    this.move(dx, dy);
  }

  remove() {
    const { thing } = this.things;
    const edit = thing ? this.things.removed() : this.chosen.length ? editOf(tablesOf(this.data, this.chosen, false), { do: "remove" }) : null;
    if (edit) this.edit(edit);
  }

  /* The same change of all chosen plants. */
  change(rest, lands) { this.edit(editOf(tablesOf(this.data, this.chosen, rest.do === "mirror"), rest), [0, 0], lands); }

  mirror(line, copies) { this.change({ do: "mirror", line_m: line, copies }, copies ? undefined : mirroredAt(line)); }

  /* Another plant or size; one kind of a mix as a whole stays a part of the mix. */
  swap(plant, size) {
    const { plants, kinds, tables } = this.data;
    const [first] = this.chosen;
    const table = tables[plants.table[first]];
    const kind = kinds[plants.kind[first]].name;
    if (plant !== kind && table.plants.length > 1 && this.isKindOf(first)) {
      this.edit({ do: "swap", of: table.place, plant, instead_of: kind });
      return;
    }
    const other = this.chosen.some((i) => kinds[plants.kind[i]].name !== plant);
    this.change({ do: "swap", ...(other ? { plant } : {}), ...(size ? { size } : {}) });
  }

  /* Whether all plants of one kind in one table are chosen, and nothing else. */
  isKindOf(first) {
    const { plants } = this.data;
    const like = plantsOf(this.data, plants.table[first]).filter((i) => plants.kind[i] === plants.kind[first]);
    return like.length === this.chosen.length && like.every((i) => this.chosen.includes(i));
  }

  row(line, spacing) {
    const [first] = this.chosen;
    const { plants, tables } = this.data;
    this.edit({ do: "copy_along", of: tables[plants.table[first]].place, plant: plants.number[first], line_m: line, spacing_m: spacing });
  }

  spray({ throw_m: throwM, riser_m: riserM, from, to }) {
    this.edit({ do: "spray", of: this.things.record().place, throw_m: throwM, riser_m: riserM, arc_deg: [from, to] });
  }

  arm(plant, size, oneByOne) {
    this.set = plant ? { plant: plant.name, size } : null;
    this.oneByOne = oneByOne;
  }

  plantAt(x, y) {
    if (this.set) this.edit({ do: "plant", ...this.set, at_m: [[x, y]] });
  }

  /* One change: of what is chosen, moved by so much, or landing where a function of its place says. */
  edit(edit, by = [0, 0], lands = ([x, y]) => [x + by[0], y + by[1]]) { this.ask({ ask: "edit", edit }, by, lands); }
  step(ask) { this.ask({ ask }); }

  ask(message, by = [0, 0], lands = (at) => at) {
    if (!this.allowed) return;
    if (this.flight) {
      this.panel.busy();
      return;
    }
    this.flight = { message: { ...message, rev: this.state.rev }, by, lands };
    this.send(this.flight.message);
  }

  send(message) {
    this.node.setAttribute("aria-busy", "true");
    this.model.send_msg(message);
  }

  /* The change that was asked about, over the document's; or not. */
  answer(yes) {
    if (!yes || this.flight) return;
    this.flight = this.asked;
    this.send({ ...this.asked.message, answer: this.state.said.answer });
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
