/* Small forms beside the plan: a few numbers in the document's unit, and buttons that act on them. */

class Fields {
  /* fields: [key, label, is it a length, may it be empty]; acts: [words, act(values)]. */
  constructor(name, fields, acts) {
    Object.assign(this, { fields, acts, unit: "m", unitM: 1 });
    this.labels = fields.map(([key, label]) => tag("label", { for: `${name}-${key}` }, label));
    this.inputs = fields.map(([key, , , empty]) => tag("input", { id: `${name}-${key}`, type: "number", step: "any", inputmode: "decimal", required: empty ? null : "" }));
    const cells = fields.map((_, i) => tag("div", {}, this.labels[i], this.inputs[i]));
    const buttons = acts.map(([words], i) => tag("button", { type: "submit", class: "button", value: i }, words));
    this.node = tag("form", { class: "fields" }, ...cells, tag("div", { class: "tools" }, ...buttons));
    this.node.addEventListener("input", () => this.changed());
    this.node.addEventListener("submit", (event) => {
      event.preventDefault();
      acts[Number(event.submitter?.value ?? 0)][1](this.values());
    });
  }

  /* What follows the values while they are written; nothing, unless it is set. */
  changed() {}

  measure(unit, unitM) {
    Object.assign(this, { unit, unitM });
    this.fields.forEach(([, label, length], i) => { this.labels[i].textContent = length ? `${label}, ${unit}` : label; });
  }

  /* Values in metres, or as written; null where nothing is. */
  values() {
    return Object.fromEntries(this.fields.map(([key, , length], i) => {
      const value = this.inputs[i].valueAsNumber;
      return [key, Number.isNaN(value) ? null : length ? value * this.unitM : value];
    }));
  }

  show(values) {
    this.fields.forEach(([key, , length], i) => {
      if (!(key in values)) return;
      const value = values[key];
      this.inputs[i].value = value === null ? "" : Number((length ? value / this.unitM : value).toFixed(2));
    });
    this.changed();
  }
}

function placeFields(name, words, go) {
  return new Fields(name, [["east", "East", true], ["north", "North", true]], [[words, ({ east, north }) => go(east, north)]]);
}

/* Two places of a line: written, or pressed on the plan one after the other. */
function lineFields(name, more, acts) {
  const ends = [["x0", "From east", true], ["y0", "From north", true], ["x1", "To east", true], ["y1", "To north", true]];
  const lined = acts.map(([words, act]) => [words, (values) => act([[values.x0, values.y0], [values.x1, values.y1]], values)]);
  return new Fields(name, [...ends, ...more], lined);
}

/* What of a form was written. */
function given(values) { return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== null)); }
