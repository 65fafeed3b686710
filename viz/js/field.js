/* The picture of the race: plants beside a person on one scale that no year changes.
   Crowns are drawn from the same outlines that the checks look through. Solid is the year
   shown, dotted year 30; a bracket goes from slow to fast growth. */

const PERSON_M = 1.7;
const GROUND_PX = 62;
const GROUND_PHONE_PX = 76; // two rows of names, so that each has room for its words
const ROWS_PX = [38, 6];
const SKY_PX = 14;
const LEAST_SLOT_PX = 84;
const LEAST_SLOT_PHONE_PX = 52;
const BRACKET_PX = 22;
const LEAST_RUNG_PX = 24;

class Field {
  constructor(outlines, lengths) {
    this.outlines = outlines;
    this.lengths = lengths;
    this.art = shape("svg", { "aria-hidden": "true" });
    this.names = tag("div", { class: "names", "aria-hidden": "true" });
    this.box = tag("div", { class: "field", role: "img" }, this.art, this.names);
    this.caption = tag("p", { class: "caption key" });
    this.node = tag("section", { class: "stage", "aria-label": "The race" }, this.box, this.caption);
  }

  /* Places everything for the present size; `scale` holds step and top in the page's unit. */
  layout(runners, scale) {
    this.runners = runners;
    const [width, height] = [this.box.clientWidth, this.box.clientHeight];
    this.phone = window.innerWidth <= 760;
    this.ground = height - (this.phone ? GROUND_PHONE_PX : GROUND_PX);
    const left = this.phone ? 66 : 118;
    const least = this.phone ? LEAST_SLOT_PHONE_PX : LEAST_SLOT_PX;
    const room = Math.max(1, width - left - 8);
    const slots = (px) => runners.map((runner) => Math.max(least, runner.course.spread.expected[LAST_YEAR] * px + BRACKET_PX));
    const sum = (widths) => widths.reduce((a, b) => a + b, 0);
    this.pxPerM = (this.ground - SKY_PX) / (scale.top * this.lengths.unitM);
    while (sum(slots(this.pxPerM)) > room && sum(slots(this.pxPerM)) > runners.length * least + 1) this.pxPerM *= 0.97;
    const widths = slots(this.pxPerM);
    const spare = Math.max(0, room - sum(widths)) / Math.max(1, runners.length);
    let x = left;
    this.middles = widths.map((slot) => { x += slot + spare; return x - (slot + spare) / 2; });
    this.slots = widths.map((slot) => slot + spare);
    this.draw(width, height, left, scale);
  }

  draw(width, height, left, scale) {
    const { art, ground } = this;
    for (const [key, value] of Object.entries({ width, height })) art.setAttribute(key, value);
    art.replaceChildren();
    shape("rect", { x: 0, y: ground, width, height: height - ground, class: "soil" }, art);
    const step = scale.step * Math.ceil(LEAST_RUNG_PX / (scale.step * this.lengths.unitM * this.pxPerM));
    for (let at = 0; this.y(at * this.lengths.unitM) > SKY_PX - 1; at += step) {
      const y = this.y(at * this.lengths.unitM);
      shape("line", { x1: 52, x2: width, y1: y, y2: y, class: "rung" }, art);
      shape("text", { x: 8, y: y + 4 }, art).textContent = `${Number(at.toFixed(2))} ${this.lengths.unit}`;
    }
    this.drawPerson(left - (this.phone ? 12 : 30));
    this.plants = this.runners.map((runner, i) => this.drawn(runner, i));
    this.names.replaceChildren(...this.runners.map((runner, i) => this.named(runner, i)));
  }

  drawPerson(x) {
    const [m, ground] = [this.pxPerM, this.ground];
    const body = `M${x - 0.14 * m} ${ground}L${x - 0.3 * m} ${ground - 1.32 * m}Q${x} ${ground - 1.52 * m} ${x + 0.3 * m} ${ground - 1.32 * m}L${x + 0.14 * m} ${ground}z`;
    shape("path", { d: body, class: "person" }, this.art);
    shape("circle", { cx: x, cy: ground - 1.55 * m, r: 0.15 * m, class: "person" }, this.art);
    const label = shape("text", { x, y: ground + 18, "text-anchor": "middle" }, this.art);
    label.textContent = this.lengths.one(PERSON_M);
  }

  drawn(runner, i) {
    const group = shape("g", { style: `color:var(--p${runner.slot})` }, this.art);
    return {
      ahead: shape("path", { class: "ahead" }, group),
      trunk: shape("path", { class: "trunk" }, group),
      crown: shape("path", { class: "crown" }, group),
      bracket: shape("path", { class: "bracket" }, group),
      dot: shape("circle", { r: 4, fill: "currentColor" }, group),
      group,
      x: this.middles[i],
    };
  }

  named(runner, i) {
    const name = tag("span", {}, runner.label);
    const [x, slot] = [this.middles[i], this.slots[i]];
    name.style.cssText = `left:${x}px;width:${slot}px`;
    if (this.phone) { // every other name a row lower, as wide as both neighbours leave
      const half = Math.min(slot - 4, this.box.clientWidth - x - 2);
      name.style.cssText = `left:${x}px;width:${2 * half}px;top:${this.ground + ROWS_PX[i % 2]}px`;
    }
    return name;
  }

  y(m) { return this.ground - m * this.pxPerM; }

  /* The path of a crown: its outline from base to top, both sides. */
  crown(runner, x, height, spread, base) {
    const radii = this.outlines[runner.kind.form];
    const points = radii.map((r, i) => {
      const up = base + (height - base) * i / (radii.length - 1);
      return [r * spread / 2 * this.pxPerM, this.y(up)];
    });
    const right = points.map(([r, y]) => `${(x + r).toFixed(1)} ${y.toFixed(1)}`);
    const left = points.map(([r, y]) => `${(x - r).toFixed(1)} ${y.toFixed(1)}`).reverse();
    return `M${[...right, ...left].join("L")}Z`;
  }

  /* One step; covered hides what comes after the year, `secret` is a runner still to be guessed. */
  show(year, covered, secret) {
    this.runners.forEach((runner, i) => this.showPlant(runner, this.plants[i], runner === secret ? 0 : year, covered || runner === secret));
    const ahead = covered || year >= LAST_YEAR ? "" : " Dotted: year 30.";
    this.caption.textContent = `Solid: now.${ahead} Brackets: slow to fast.`;
    const who = this.runners.map((runner) => (runner === secret ? `${runner.label}, still to be guessed` : `${runner.label} ${this.lengths.one(atYear(runner.course.height.expected, year))} tall`));
    this.box.setAttribute("aria-label", who.length
      ? `Side by side in year ${year}, with a person ${this.lengths.one(PERSON_M)} tall for scale: ${who.join("; ")}.`
      : "Nothing planted: choose plants.");
  }

  showPlant(runner, drawn, year, covered) {
    const { height, spread, base } = runner.course;
    const [low, tall, high] = rangeAt(height, year);
    const wide = atYear(spread.expected, year);
    const foot = atYear(base, year);
    const { x } = drawn;
    drawn.crown.setAttribute("d", this.crown(runner, x, tall, wide, foot));
    const stem = Math.max(1.5, 0.018 * tall * this.pxPerM);
    drawn.trunk.setAttribute("d", foot > 0 ? `M${x - stem} ${this.ground}V${this.y(foot + 0.4 * (tall - foot))}H${x + stem}V${this.ground}Z` : "");
    const hidden = covered || year >= LAST_YEAR;
    drawn.ahead.setAttribute("d", hidden ? "" : this.crown(runner, x, height.expected[LAST_YEAR], spread.expected[LAST_YEAR], base[LAST_YEAR]));
    const at = x + wide / 2 * this.pxPerM + 10;
    const span = this.y(low) - this.y(high) > 2;
    drawn.bracket.setAttribute("d", span ? `M${at - 5} ${this.y(high)}h10M${at} ${this.y(high)}V${this.y(low)}M${at - 5} ${this.y(low)}h10` : "");
    drawn.dot.setAttribute("cx", at);
    drawn.dot.setAttribute("cy", this.y(tall));
  }
}
