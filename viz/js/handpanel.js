/* Beside the plan: steps taken back and made again, what became of the last one, the plants as two
   lists for the keyboard, what is chosen and what can be done with it, and plants to set. */

const PADS = [["North", 0, 1, "↑"], ["West", -1, 0, "←"], ["East", 1, 0, "→"], ["South", 0, -1, "↓"]];

class HandPanel {
  /* on: undo, redo, choose(indices), remove, nudge(dx, dy), moveTo(x, y), look(words),
     swap(plant, size), arm(plant, size), plantAt(x, y), answer(yes). */
  constructor(on) {
    this.on = on;
    this.data = null;
    this.node = tag("aside", { class: "side hand", "aria-label": "What is chosen, and what to do with it" },
      this.makeSteps(), this.makeLists(), this.makeChosen(), this.makeAdding());
  }

  button(words, act, label = null) {
    const button = tag("button", { type: "button", class: "button", "aria-label": label }, words);
    button.addEventListener("click", act);
    return button;
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
    this.tables.addEventListener("change", () => this.listSingles(Number(this.tables.value)));
    this.singles.addEventListener("change", () => this.pickSingle());
    return tag("section", { class: "lists", "aria-label": "Plants as lists" },
      tag("label", { for: "hand-table" }, "Planting"), this.tables, tag("label", { for: "hand-single" }, "Plant"), this.singles);
  }

  makeChosen() {
    this.title = tag("h2", {}, "Nothing chosen");
    this.about = tag("p", { class: "quiet" });
    this.place = new PlaceFields("hand", "Move there", (x, y) => this.on.moveTo(x, y));
    const pad = tag("div", { class: "pad", role: "group", "aria-label": "Nudge by 0.1 m" },
      ...PADS.map(([word, dx, dy, arrow]) => this.button(arrow, () => this.on.nudge(dx * NUDGE_M.plain, dy * NUDGE_M.plain), `${word} by 0.1 m`)));
    this.remove = this.button("Remove", () => this.on.remove());
    this.swapping = this.opener("Swap plant or size", "hand-swap", () => this.on.look(this.chosenName ?? "", this.swap));
    this.swap = new Finder("swap", "Swap in", { look: (words) => this.on.look(words, this.swap), take: (plant, size) => this.on.swap(plant.name, size) });
    this.swap.node.id = "hand-swap";
    this.swap.node.hidden = true;
    this.deeds = tag("div", { class: "deeds" }, pad, this.place.node, tag("div", { class: "tools" }, this.remove, this.swapping), this.swap.node);
    return tag("section", { class: "chosenplant", "aria-label": "Chosen" }, this.title, this.about, this.deeds);
  }

  makeAdding() {
    this.adding = this.opener("Add a plant", "hand-add", () => {});
    this.add = new Finder("add", "Choose", { look: (words) => this.on.look(words, this.add), take: (plant, size) => this.arm(plant, size) });
    this.armed = tag("div", { class: "armed", hidden: "" });
    this.setting = new PlaceFields("set", "Plant it there", (x, y) => this.on.plantAt(x, y));
    const panel = tag("div", { id: "hand-add", hidden: "" }, this.add.node, this.armed);
    return tag("section", { "aria-label": "Plants to set" }, tag("div", { class: "tools" }, this.adding), panel);
  }

  /* A button that opens the panel it names. */
  opener(words, id, opened) {
    const button = tag("button", { type: "button", class: "button", "aria-expanded": "false", "aria-controls": id }, words);
    button.addEventListener("click", () => {
      const open = button.getAttribute("aria-expanded") !== "true";
      button.setAttribute("aria-expanded", String(open));
      this.node.querySelector(`#${id}`).hidden = !open;
      if (open) opened();
      else if (id === "hand-add") this.disarm();
    });
    return button;
  }

  arm(plant, size) {
    const stop = this.button("Stop", () => this.disarm());
    this.armed.replaceChildren(tag("p", {}, `Press the plan where ${plant.name}, ${size}, is to stand, or write the place.`), this.setting.node, stop);
    this.armed.hidden = false;
    this.on.arm(plant, size);
  }

  disarm() {
    this.armed.hidden = true;
    this.on.arm(null, "");
  }

  /* Another document: its lists. */
  draw(data) {
    this.data = data;
    this.place.unit = this.setting.unit = [data.unit, data.unit_m];
    const picked = this.tables.value;
    this.tables.replaceChildren(tag("option", { value: -1 }, data.tables.length ? "Choose one" : "No plants in this yard"),
      ...data.tables.map((table, i) => tag("option", { value: i }, `${tableName(table)}, ${countOf(data, i)} ${table.how}`)));
    this.tables.value = picked && Number(picked) < data.tables.length ? picked : -1;
    this.listSingles(Number(this.tables.value));
  }

  listSingles(table) {
    this.listed = table;
    const { plants, kinds, unit, unit_m: unitM } = this.data;
    const mine = [...plants.x.keys()].filter((i) => plants.table[i] === table);
    const told = (metres) => (metres / unitM).toFixed(1);
    this.singles.replaceChildren(tag("option", { value: "" }, mine.length ? "Choose one" : "First a planting"),
      ...(mine.length > 1 ? [tag("option", { value: "all" }, `All ${mine.length}`)] : []),
      ...mine.map((i) => tag("option", { value: i }, `${plants.number[i] + 1}: ${kinds[plants.kind[i]].name} at ${told(plants.x[i])}, ${told(plants.y[i])} ${unit}`)));
    this.singles.disabled = !mine.length;
  }

  pickSingle() {
    const { value } = this.singles;
    if (value === "") return;
    const { plants } = this.data;
    this.on.choose(value === "all" ? [...plants.x.keys()].filter((i) => plants.table[i] === this.listed) : [Number(value)]);
  }

  /* What is chosen, and whether it may be changed. */
  tell(chosen, allowed) {
    const { plants, kinds, tables } = this.data;
    this.deeds.hidden = !chosen.length || !allowed;
    this.adding.disabled = !allowed;
    const [first] = chosen;
    if (!chosen.length) {
      this.chosenName = null;
      this.title.textContent = "Nothing chosen";
      this.about.textContent = allowed ? "Press a plant, or choose it in the lists." : "Press a plant to read what it is.";
      return;
    }
    const table = tables[plants.table[first]];
    const kind = kinds[plants.kind[first]];
    this.chosenName = kind.name;
    const one = chosen.length === 1;
    this.title.textContent = one ? sentenceCase(kind.common || kind.name) : `${chosen.length} plants`;
    this.about.textContent = [one && kind.common ? kind.name : "", table.kept ? "kept" : table.size, `${table.place}, ${table.how}`].filter(Boolean).join("; ");
    this.place.node.hidden = !one;
    this.swapping.hidden = table.kept;
    this.place.show(plants.x[first], plants.y[first]);
    this.follow(chosen);
  }

  /* The lists show what was chosen on the plan. */
  follow(chosen) {
    const { plants } = this.data;
    const table = plants.table[chosen[0]];
    if (this.listed !== table) {
      this.tables.value = table;
      this.listSingles(table);
    }
    this.singles.value = chosen.length === 1 ? chosen[0] : chosen.length === countOf(this.data, table) ? "all" : "";
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

  ask(words) {
    const answers = [["Write mine over it", true], ["Keep the document's", false]].map(([text, yes]) => this.button(text, () => { this.asks.hidden = true; this.on.answer(yes); }));
    this.asks.replaceChildren(tag("b", {}, "The document was changed meanwhile. "), tag("span", {}, words), tag("div", { class: "tools" }, ...answers));
  }
}

function tableName({ name, plants, place }) {
  return `${name || plants.join(", ")} (${place.replace("[", " ").replace("]", "")})`;
}

/* East and north of a place in the document's unit, and a button that goes there. */
class PlaceFields {
  constructor(name, words, go) {
    this.unit = ["m", 1];
    this.fields = ["East", "North"].map((side, i) => tag("input", { id: `${name}-${i}`, type: "number", step: "any", inputmode: "decimal" }));
    this.labels = ["East", "North"].map((side, i) => tag("label", { for: `${name}-${i}` }, side));
    const button = tag("button", { type: "submit", class: "button" }, words);
    this.node = tag("form", { class: "placefields" }, ...this.fields.flatMap((field, i) => [this.labels[i], field]), button);
    this.node.addEventListener("submit", (event) => {
      event.preventDefault();
      const [x, y] = this.fields.map((field) => field.valueAsNumber * this.unit[1]);
      if (Number.isFinite(x) && Number.isFinite(y)) go(x, y);
    });
  }

  show(x, y) {
    this.labels.forEach((label, i) => { label.textContent = `${["East", "North"][i]}, ${this.unit[0]}`; });
    [x, y].forEach((metres, i) => { this.fields[i].value = Number((metres / this.unit[1]).toFixed(2)); });
  }
}
