/* The ground in the page: existing or proposed, one layer at a time, contours, and a section.
   Nothing is unpacked or painted before it is first asked for; plants are hidden while a layer
   or the existing ground is looked at, unless they are asked for. */

const MORPH_MS = 600;
const PLAIN = "Planting, paving and beds are hidden; built things stay as planned.";

class Ground {
  /* parts: the stage's; `yard` gives the picture, its box and the year shown. */
  constructor(parts, yard) {
    this.parts = parts;
    this.yard = yard;
    this.layer = "none";
    this.existing = false;
    this.every = 0;
    this.node = tag("details", { class: "ground" }, tag("summary", {}, "Ground"));
    this.key = tag("div", { class: "groundkey", role: "status", hidden: "" });
    this.node.addEventListener("toggle", () => this.open());
  }

  /* Makes the controls when they are first looked at. */
  open() {
    if (this.field || !this.yard.picture || this.yard.picture.failed) return;
    const { layers, closing, hours, ground } = this.parts;
    this.field = new GroundField({ ...layers, closing, sun: this.makeSun(hours) }, ground.points);
    this.contours = new ContourLines(this.field);
    this.section = new Section(this);
    this.labels = new GroundLabels(this.yard.picture, this.field);
    this.yard.box.parentNode.append(this.labels.node);
    this.narrow = window.matchMedia("(max-width: 760px)");
    this.narrow.onchange = () => { this.placeKey(); this.paint(); };
    this.placeKey();
    this.node.append(tag("div", {}, this.makeStates(), this.makeLayers(), this.makeLines(), this.section.button));
    this.node.parentNode.after(this.section.node);
  }

  makeSun(hours) {
    return new GroundSun(hours, () => this.layer === "sun" && this.paint());
  }

  /* The sun of what the document says now. */
  askSunAgain() {
    if (!this.field || this.parts.hours) return;
    this.field.sun.end();
    this.field.sun = this.makeSun();
    if (this.layer === "sun") this.paint();
  }

  /* Takes all of it off the page. */
  leave() {
    this.narrow.onchange = null;
    this.section.leave();
    this.field.sun.end();
    for (const part of [this.key, this.labels.node]) part.remove();
  }

  /* Shows what another one showed. */
  resume(other) {
    this.field.share = other.existing ? 0 : 1;
    this.plants.checked = other.plants.checked;
    if ([...this.interval.options].some((each) => Number(each.value) === other.every)) this.interval.value = this.every = other.every;
    const offered = this.node.querySelector(`input[name="layer"][value="${other.layer}"]`);
    if (offered && !offered.checked) this.pick("layer", other.layer);
    if (other.existing) this.pick("state", 1);
    this.section.resume(other.section);
    if (other.overlay) this.paint();
  }

  /* The key stands on the picture, and below it where it would hide most of it. */
  placeKey() {
    const stage = this.yard.box.parentNode;
    if (this.narrow.matches) stage.after(this.key);
    else stage.append(this.key);
  }

  makeStates() {
    const picks = radios("state", ["Proposed", "Existing"], 0, (i) => this.setExisting(i === 1));
    return tag("fieldset", {}, tag("legend", {}, "Ground shown"), tag("div", { class: "switch" }, ...picks));
  }

  makeLayers() {
    const offered = Object.entries(LAYERS).filter(([, layer]) => layer.offered(this.field));
    const rows = offered.map(([name, layer]) => {
      const input = tag("input", { type: "radio", name: "layer", value: name });
      input.checked = name === this.layer;
      input.addEventListener("change", () => this.setLayer(name));
      const sample = tag("i", { "aria-hidden": "true" }, ...layer.sample.map((tone) => swatchNode(tone)));
      return tag("label", {}, input, sample, tag("span", {}, layer.name, tag("small", {}, layer.note)));
    });
    return tag("fieldset", {}, tag("legend", {}, "Layer"), tag("div", { class: "layers" }, ...rows));
  }

  makeLines() {
    this.interval = tag("select", { id: "contours" }, tag("option", { value: 0 }, "none"),
      ...this.contours.choices().map(([every, words]) => tag("option", { value: every }, `every ${words}`)));
    this.interval.addEventListener("change", () => this.setContours(Number(this.interval.value)));
    this.plants = tag("input", { type: "checkbox", id: "overplants" });
    this.plants.addEventListener("change", () => this.plant());
    return tag("div", { class: "lines" },
      tag("label", { for: "contours" }, "Contours"), this.interval,
      tag("label", { class: "tick" }, this.plants, "Plants over the layer"), this.yard.person.node);
  }

  setLayer(name) {
    this.layer = name;
    if (this.existing && LAYERS[name].planned) this.pick("state", 0);
    else this.paint();
  }

  /* Picks a control of a radio group as a person would. */
  pick(group, value) {
    const input = this.node.querySelector(`input[name="${group}"][value="${value}"]`);
    input.checked = true;
    input.dispatchEvent(new Event("change"));
  }

  setContours(every) {
    this.every = every;
    this.paint();
  }

  /* The ground moves between the two; the existing one is shown without what is planned. */
  setExisting(existing) {
    this.existing = existing;
    if (existing && LAYERS[this.layer].planned) this.pick("layer", "none");
    else this.paint();
    const [from, to] = [this.field.share, existing ? 0 : 1];
    const began = performance.now();
    const quick = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const step = () => {
      if (this.existing !== existing) return;
      const part = quick ? 1 : Math.min((performance.now() - began) / MORPH_MS, 1);
      this.field.share = from + (to - from) * part * part * (3 - 2 * part);
      this.yard.picture.moveGround();
      if (part < 1) requestAnimationFrame(step);
    };
    step();
  }

  /* Paints everything laid over the ground anew. */
  paint() {
    const { picture } = this.yard;
    this.overlay ??= picture.layOver(this.field);
    this.overlay.clear();
    if (this.existing) paintExisting(this.overlay);
    LAYERS[this.layer].ask?.(this.field);
    LAYERS[this.layer].paint(this.overlay, this.yard.years.year);
    if (this.every) this.contours.paint(this.overlay, this.every, this.existing);
    if (this.layer !== "none" || this.every || this.existing) strokeLine(this.overlay, this.field.boundary, { width: 3, colour: PALE, casing: INK, closed: true });
    this.section.paint(this.overlay);
    this.overlay.changed();
    this.plant();
    const chips = LAYERS[this.layer].labels?.(this.field) ?? [];
    this.tell(chips);
    this.labels.show([...chips, ...(this.every ? this.contours.labels(this.every, this.existing) : [])], this.key);
  }

  plant() {
    const bare = this.layer !== "none" || this.existing;
    this.plants.disabled = !bare || this.existing;
    this.yard.picture.setPlanted(!this.existing && (!bare || this.plants.checked));
  }

  /* The key of what is laid over; what stands at places of it is read out with the key. */
  tell(chips) {
    const layer = LAYERS[this.layer];
    const rows = layer.key(this.field, this.yard.years.year).map(({ tone, line, words, strong }) =>
      tag("span", strong ? { class: "strong" } : {}, tone ? swatchNode(tone) : null, line ? lineNode(line) : null, words));
    if (this.every) rows.push(...this.contourKey());
    if (this.existing) rows.push(tag("span", {}, PLAIN));
    if (chips.length) rows.push(tag("span", { class: "unseen" }, chips.map(({ text }) => text).join(". ")));
    const title = this.existing ? "Existing ground" : "Proposed ground";
    this.key.replaceChildren(tag("b", {}, layer === LAYERS.none ? title : `${layer.name}`), ...rows);
    this.key.hidden = rows.length === 0;
  }

  contourKey() {
    const [, words] = this.contours.choices().find(([every]) => every === this.every);
    const line = (dash, label) => tag("span", {}, lineNode({ stroke: "#fff", width: 2, dash }), label);
    const existing = line("5 3", `existing, every ${words}`);
    return this.existing ? [existing] : [line("none", `proposed, every ${words}`), ...(this.field.moved ? [existing] : [])];
  }

  drawn() {
    this.labels?.place();
    this.section?.placeHandles();
  }

  setYear() {
    this.section?.refresh();
    const year = this.layer === "sun" && this.field.sun.hours && this.field.sun.nearest(this.yard.years.year);
    if (year !== false && year !== this.sunYear) this.paint();
    this.sunYear = year;
  }
}

function swatchNode(tone) {
  const node = tag("i", { class: "swatch", "aria-hidden": "true" });
  node.style.background = swatch(tone);
  return node;
}

function lineNode({ stroke, width, dash = "none" }) {
  const svg = shape("svg", { width: 26, height: 10, "aria-hidden": "true" });
  shape("path", { d: "M0 5H26", stroke, "stroke-width": width, "stroke-dasharray": dash }, svg);
  return svg;
}
