/* Beside the plan: steps taken back and made again, what became of the last one, everything as two
   lists for the keyboard, what is chosen and what can be done with it, and plants to set. */

const PADS = [["North", 0, 1, "↑"], ["West", -1, 0, "←"], ["East", 1, 0, "→"], ["South", 0, -1, "↓"]];
const PANEL_ENDS = ["first end of its panel", "second end of its panel"];
const SET_WORDS = {
  one: "Press the plan where each is to stand, or write the place.",
  row: "Press both ends of the row on the plan, or write them. The spacing suggested is the mature spread.",
  bed: "Plants are set all over the bed, in staggered rows.",
};
const THING_LISTS = [["bed", "beds", "Bed"], ["head", "heads", "Spray head"], ["view", "views", "View"]];

class HandPanel {
  /* on: undo, redo, choose(indices), take(thing), remove, nudge(dx, dy), moveTo(x, y), look(words, finder),
     swap(plant, size), clip(sizes), row(line, spacing), mirror(line, copies), spray(values), eye(height),
     arm(plant, size, one by one), plantAt(x, y), plantRow(line, spacing), fill(bed, values),
     sketch(values) of a row, lining(the form of a line, or null), answer(yes). */
  constructor(on) {
    this.on = on;
    this.forms = [];
    this.node = tag("aside", { class: "side hand", "aria-label": "What is chosen, and what to do with it" },
      this.makeSteps(), this.makeLists(), this.makeChosen(), this.makeAdding());
  }

  button(words, act, label = null) {
    const button = tag("button", { type: "button", class: "button", "aria-label": label }, words);
    button.addEventListener("click", act);
    return button;
  }

  form(fields) {
    this.forms.push(fields);
    return fields;
  }

  makeSteps() {
    this.undo = this.button("Undo", () => this.on.undo());
    this.redo = this.button("Redo", () => this.on.redo());
    this.said = tag("p", { class: "said", role: "status" });
    this.refused = tag("div", { class: "refused", role: "alert", hidden: "" });
    this.asks = tag("div", { class: "refused", role: "alert", hidden: "" });
    return tag("section", { "aria-label": "Steps" }, tag("div", { class: "tools" }, this.undo, this.redo), this.said, this.refused, this.asks);
  }

  makeLists() {
    this.tables = tag("select", { id: "hand-table" });
    this.singles = tag("select", { id: "hand-single" });
    this.tables.addEventListener("change", () => this.pickTable());
    this.singles.addEventListener("change", () => this.pickSingle());
    return tag("section", { class: "lists", "aria-label": "Everything as lists" },
      tag("label", { for: "hand-table" }, "Planting, bed, head or view"), this.tables,
      tag("label", { for: "hand-single" }, "Plant or point"), this.singles);
  }

  makeChosen() {
    this.title = tag("h2", {}, "Nothing chosen");
    this.about = tag("p", { class: "quiet" });
    this.wide = tag("p", { class: "quiet", hidden: "" });
    this.also = tag("p", { class: "quiet", hidden: "" }, "Something else lies in the same place; press again to choose it.");
    this.place = this.form(placeFields("hand", "Move there", (x, y) => this.on.moveTo(x, y)));
    this.pad = tag("div", { class: "pad", role: "group", "aria-label": "Nudge by 0.1 m" },
      ...PADS.map(([word, dx, dy, arrow]) => this.button(arrow, () => this.on.nudge(dx * NUDGE_M.plain, dy * NUDGE_M.plain), `${word} by 0.1 m`)));
    this.remove = this.button("Remove", () => this.on.remove());
    this.makeDeeds();
    this.spray = this.form(new Fields("spray", [["throw_m", "Throw", true], ["riser_m", "Riser", true], ["from", "Arc from, degrees"], ["to", "Arc to, degrees"]],
      [["Change the spray", (values) => this.on.spray(values)]]));
    this.eye = this.form(new Fields("eye", [["eye_height_m", "Height of the eye", true]], [["Change the height", (values) => this.on.eye(values)]]));
    this.deeds = tag("div", { class: "deeds" }, this.pad, this.place.node, this.spray.node, this.eye.node,
      tag("div", { class: "tools" }, this.remove, ...this.openers), this.swap.node, this.clip.node, this.line.node);
    return tag("section", { class: "chosenplant", "aria-label": "Chosen" }, this.title, this.about, this.wide, this.also, this.deeds);
  }

  /* What can be done with plants besides moving them, each behind a button of its own. */
  makeDeeds() {
    this.swap = new Finder("swap", "Swap in", { look: (words) => this.on.look(words, this.swap), take: (plant, size) => this.on.swap(plant.name, size) });
    this.clip = this.form(new Fields("clip", [["height_m", "Height", true, true], ["spread_m", "Spread", true, true]],
      [["Keep clipped", (sizes) => this.on.clip(sizes)], ["Let it grow", () => this.on.clip({})]]));
    this.line = this.form(lineFields("line", [["spacing", "Spacing of a row", true, true]], [
      ["Copy in a row", (line, { spacing }) => this.on.row(line, spacing)],
      ["Mirror copies", (line) => this.on.mirror(line, true)], ["Mirror, moved", (line) => this.on.mirror(line, false)],
    ]));
    const panels = [["Swap plant or size", "hand-swap", this.swap, () => this.on.look(this.chosenName ?? "", this.swap)], ["Clip", "hand-clip", this.clip], ["Copy, mirror", "hand-line", this.line, () => this.on.lining(this.line)]];
    this.openers = panels.map(([words, id, { node }, opened]) => {
      node.id = id;
      node.hidden = true;
      return this.opener(words, node, opened ?? (() => {}), id === "hand-line" ? () => this.on.lining(null) : () => {});
    });
    this.line.node.prepend(tag("p", { class: "quiet" }, "Press two places on the plan for the line, or write them."));
    this.sketched(this.line);
  }

  makeAdding() {
    this.add = new Finder("add", "Choose", { look: (words) => this.on.look(words, this.add), take: (plant, size) => this.arm(plant, size) });
    this.armed = tag("div", { class: "armed", hidden: "" });
    this.setting = this.form(placeFields("set", "Plant it there", (x, y) => this.on.plantAt(x, y)));
    this.bed = tag("select", { id: "fill-bed" });
    this.filling = this.form(new Fields("fill", [["spacing_m", "Spacing", true], ["keep_off_m", "Off the edge", true, true]],
      [["Fill the bed", (values) => this.on.fill(this.bed.value, values)]]));
    this.filling.node.prepend(tag("div", { class: "wide" }, tag("label", { for: "fill-bed" }, "Bed"), this.bed));
    this.row = this.form(lineFields("row", [["spacing", "Spacing", true]], [["Plant the row", (line, { spacing }) => this.on.plantRow(line, spacing)]]));
    this.sketched(this.row);
    this.makeWays();
    const panel = tag("div", { id: "hand-add", hidden: "" }, this.add.node, this.armed);
    this.adding = this.opener("Add a plant", panel, () => this.add.field.focus(), () => this.disarm());
    return tag("section", { "aria-label": "Plants to set" }, tag("div", { class: "tools" }, this.adding), panel);
  }

  /* The ways to set a plant, each with its form. */
  makeWays() {
    const ways = [["one", "One by one", this.setting], ["row", "In a row", this.row], ["bed", "Fill a bed", this.filling]];
    this.ways = ways.map(([way, words, { node }]) => {
      const input = tag("input", { type: "radio", name: "set-way", id: `set-way-${way}`, value: way });
      const label = tag("label", { class: "check" }, input, words);
      input.addEventListener("change", () => this.setBy(way));
      return { way, input, label, node };
    });
    this.way = tag("fieldset", { class: "ways" }, tag("legend", {}, "How to set it"), ...this.ways.map(({ label }) => label));
    this.how = tag("p", { class: "quiet" });
  }

  setBy(chosen) {
    for (const { way, input, node } of this.ways) [input.checked, node.hidden] = [way === chosen, way !== chosen];
    this.how.textContent = SET_WORDS[chosen];
    this.on.arm(...this.toSet, chosen === "one");
    this.on.lining(chosen === "row" ? this.row : null);
  }

  /* Draws the row of a form while it is written, and says how many plants it has. */
  sketched(form) {
    const say = tag("p", { class: "count", role: "status" });
    form.node.insertBefore(say, form.node.lastChild);
    form.changed = () => {
      if (form.node.hidden) return;
      const row = this.on.sketch(form.values());
      say.textContent = row ? `${row.count} plant${row.count > 1 ? "s" : ""}, ${(row.apart / form.unitM).toFixed(2)} ${form.unit} apart` : "";
    };
  }

  /* A button that opens a panel, or closes it. */
  opener(words, panel, opened, closed) {
    const button = tag("button", { type: "button", class: "button", "aria-expanded": "false", "aria-controls": panel.id }, words);
    button.addEventListener("click", () => {
      const open = button.getAttribute("aria-expanded") !== "true";
      if (open) this.node.querySelectorAll("[aria-expanded=true]").forEach((other) => other.click()); // one at a time
      button.setAttribute("aria-expanded", String(open));
      panel.hidden = !open;
      (open ? opened : closed)();
    });
    return button;
  }

  arm(plant, size) {
    const stop = this.button("Stop", () => this.disarm());
    this.armed.replaceChildren(tag("p", {}, tag("b", {}, plant.name), `, ${size}`), this.way, this.how, this.setting.node, this.row.node, this.filling.node, stop);
    this.armed.hidden = false;
    this.ways[2].label.hidden = !this.data.beds.length;
    this.toSet = [plant, size];
    this.setBy("one");
    this.filling.show({ spacing_m: plant.mature });
    this.row.show({ spacing: plant.mature });
  }

  disarm() {
    this.armed.hidden = true;
    this.on.arm(null, "", false);
    this.on.lining(null);
  }

  /* Another document: its lists. */
  draw(data) {
    this.data = data;
    for (const form of this.forms) form.measure(data.unit, data.unit_m);
    const options = data.tables.map((table, i) => tag("option", { value: `plants ${i}` }, `${tableName(table)}, ${countOf(data, i)} ${table.how}`));
    for (const [kind, list, word] of THING_LISTS) options.push(...data[list].map((each, n) => tag("option", { value: `${kind} ${n}` }, `${word}: ${each.name}`)));
    this.tables.replaceChildren(tag("option", { value: "" }, data.tables.length ? "Choose one" : "No plants in this yard"), ...options);
    const bed = this.bed.value;
    this.bed.replaceChildren(...data.beds.map(({ name }) => tag("option", { value: name }, name)));
    if (data.beds.some(({ name }) => name === bed)) this.bed.value = bed;
    this.listSingles("");
  }

  pickTable() {
    const [kind, n] = this.tables.value.split(" ");
    this.listSingles(this.tables.value);
    if (kind && kind !== "plants") this.on.take(kind === "bed" ? { kind, n: Number(n), point: null } : { kind, n: Number(n) });
  }

  listSingles(value) {
    this.listed = value;
    const [kind, n] = value.split(" ");
    const rows = kind === "plants" ? this.plantRows(Number(n)) : kind === "bed" ? this.pointRows(Number(n)) : kind === "view" ? this.endRows(Number(n)) : [];
    const many = kind === "plants" && rows.length > 1 ? [tag("option", { value: "all" }, `All ${rows.length}`), ...this.kindRows(Number(n))] : [];
    this.singles.replaceChildren(tag("option", { value: "" }, rows.length ? "Choose one" : "None to choose"), ...many, ...rows);
    this.singles.disabled = !rows.length;
  }

  told(...metres) { return `${metres.map((each) => (each / this.data.unit_m).toFixed(1)).join(", ")} ${this.data.unit}`; }

  plantRows(table) {
    const { plants, kinds } = this.data;
    return plantsOf(this.data, table).map((i) => tag("option", { value: i }, `${plants.number[i] + 1}: ${kinds[plants.kind[i]].name} at ${this.told(plants.x[i], plants.y[i])}`));
  }

  /* The kinds of a mix, each as a whole. */
  kindRows(table) {
    const names = this.data.tables[table].plants;
    return names.length > 1 ? names.map((name) => tag("option", { value: `kind ${name}` }, `All ${name}`)) : [];
  }

  pointRows(n) {
    const { points } = this.data.beds[n];
    const rows = [];
    for (let i = 0; 2 * i < points.length; i++) {
      rows.push(tag("option", { value: i }, `Point ${i} at ${this.told(points[2 * i], points[2 * i + 1])}`), tag("option", { value: i + 0.5 }, `A new point after ${i}`));
    }
    return rows;
  }

  /* The ends of a view's panel, if the document writes one. */
  endRows(n) {
    const { target } = this.data.views[n];
    return target ? PANEL_ENDS.map((words, i) => tag("option", { value: i }, `${sentenceCase(words)} at ${this.told(...[target.from, target.to][i])}`)) : [];
  }

  pickSingle() {
    const { value } = this.singles;
    const [kind, n] = this.listed.split(" ");
    if (value === "") return;
    if (kind === "bed" || kind === "view") this.on.take({ kind, n: Number(n), point: Number(value) });
    else if (value.startsWith("kind ")) this.on.choose(plantsOf(this.data, Number(n)).filter((i) => this.data.kinds[this.data.plants.kind[i]].name === value.slice(5)));
    else this.on.choose(value === "all" ? plantsOf(this.data, Number(n)) : [Number(value)]);
  }

  /* What is chosen, and whether it may be changed: plants, or another thing with its place. */
  tell(chosen, things, allowed) {
    const { thing } = things;
    this.adding.disabled = !allowed;
    this.deeds.hidden = !allowed || !(chosen.length || thing);
    if (chosen.length) this.tellPlants(chosen);
    else if (thing) this.tellThing(things);
    else {
      this.chosenName = null;
      this.title.textContent = "Nothing chosen";
      this.about.textContent = allowed ? "Press a plant, a bed, a head or an eye, or choose it in the lists." : "Press a plant to read what it is.";
    }
  }

  tellPlants(chosen) {
    const { plants, kinds, tables } = this.data;
    const [first] = chosen;
    const table = tables[plants.table[first]];
    const kind = kinds[plants.kind[first]];
    this.chosenName = kind.name;
    const one = chosen.length === 1;
    this.title.textContent = one ? sentenceCase(kind.common || kind.name) : `${chosen.length} plants`;
    this.about.textContent = [one && kind.common ? kind.name : "", table.kept ? "kept" : table.size, `${tablePlace(table)}, ${table.how}`].filter(Boolean).join("; ");
    this.remove.hidden = false;
    this.offer({ place: one, pad: true, deeds: !table.kept });
    this.place.show({ east: plants.x[first], north: plants.y[first] });
    const all = chosen.length === countOf(this.data, plants.table[first]);
    const listed = this.singles.value.startsWith("kind ") ? this.singles.value : "";
    this.follow(`plants ${plants.table[first]}`, one ? first : all ? "all" : listed);
  }

  /* How wide a plant is expected to be, and from slow to fast growth. */
  tellWidth(year, low, expected, high) {
    const told = (metres) => (metres / this.data.unit_m).toFixed(1);
    this.wide.textContent = `Year ${year}: ${told(expected)} ${this.data.unit} wide, ${told(low)} to ${told(high)} from slow to fast growth`;
  }

  tellThing(things) {
    const { thing } = things;
    const record = things.record();
    const [, , word] = THING_LISTS.find(([kind]) => kind === thing.kind);
    const point = (thing.point ?? null) !== null;
    this.title.textContent = record.name;
    this.about.textContent = thing.kind === "bed" ? bedWords(thing.point) : thing.kind === "view" ? viewWords(record, thing.point) : word;
    this.remove.hidden = !things.removed();
    this.offer({ place: things.movable, pad: things.movable, spray: thing.kind === "head", eye: thing.kind === "view" && !point });
    if (things.movable) this.place.show({ east: things.at()[0], north: things.at()[1] });
    if (thing.kind === "head") this.spray.show({ throw_m: record.throw, riser_m: record.riser, from: record.arc[0], to: record.arc[1] });
    if (thing.kind === "view") this.eye.show({ eye_height_m: record.eye_height });
    this.follow(`${thing.kind} ${thing.n}`, point ? thing.point : "");
  }

  /* Shows what can be done with what is chosen. */
  offer({ place, pad, spray = false, eye = false, deeds = false }) {
    this.place.node.hidden = !place;
    this.pad.hidden = !pad;
    this.spray.node.hidden = !spray;
    this.eye.node.hidden = !eye;
    for (const opener of this.openers) {
      opener.hidden = !deeds;
      if (!deeds && opener.getAttribute("aria-expanded") === "true") opener.click();
    }
  }

  /* The lists show what was chosen on the plan. */
  follow(table, single) {
    if (this.listed !== table) this.listSingles(table);
    this.tables.value = table;
    this.singles.value = single;
  }

  /* What became of the last step, and which steps there are. */
  say({ undo, redo, said, read_only: readOnly }) {
    for (const [button, word, words] of [[this.undo, "Undo", undo], [this.redo, "Redo", redo]]) {
      button.disabled = !words || Boolean(readOnly);
      button.title = words;
      button.setAttribute("aria-label", words ? `${word}: ${words}` : word);
    }
    const done = said.kind === "done";
    if (done || said.kind === "refused") this.said.replaceChildren(...(done ? [said.words, ...said.notes].map((line) => tag("span", {}, `${line}. `)) : []));
    this.refused.hidden = said.kind !== "refused";
    if (said.kind === "refused") this.refused.replaceChildren(tag("b", {}, "Not done. "), tag("span", {}, said.words));
    this.asks.hidden = said.kind !== "asks";
    if (said.kind === "asks") this.ask(said.words);
  }

  busy() { this.said.textContent = "The last change is still being written; do it again in a moment."; }

  ask(words) {
    const answers = [["Write mine over it", true], ["Keep the document's", false]].map(([text, yes]) => this.button(text, () => { this.asks.hidden = true; this.on.answer(yes); }));
    this.asks.replaceChildren(tag("b", {}, "The document was changed meanwhile. "), tag("span", {}, words), tag("div", { class: "tools" }, ...answers));
  }
}

function bedWords(point) {
  if (point === null) return "Bed; press one of its points";
  return Number.isInteger(point) ? `Bed; point ${point} of its edge` : "Bed; a new point of its edge";
}

function viewWords({ single, target }, point) {
  if (point !== undefined) return `View; ${PANEL_ENDS[point]}`;
  const ends = target ? "; press an end of its panel to move that" : "";
  return single ? `View${ends}` : `View of several eyes; change them in the document${ends}`;
}

function tablePlace({ place }) { return place.replace("[", " ").replace("]", ""); }
function tableName(table) { return `${table.name || table.plants.join(", ")} (${tablePlace(table)})`; }
