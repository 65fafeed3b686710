/* Guess first: the class says how a plant will grow before its course is shown. A guess is
   drawn on the chart with the pointer, or given as a number for the year shown. */

const COMPARED_YEARS = [1, 5, 15, 30];

class Guess {
  /* on.changed() after each change; chart draws; of() is the quantity charted. */
  constructor(lengths, chart, on) {
    Object.assign(this, { lengths, chart, on });
    this.open = false;
    this.revealed = false;
    this.points = new Map();
    this.pick = tag("select", { id: "guessed" });
    this.number = tag("input", { id: "guess", type: "number", min: 0, step: "any", inputmode: "decimal" });
    this.numberLabel = tag("label", { for: "guess" });
    this.reveal = tag("button", { type: "button", class: "button" }, "Show the forecast");
    this.again = tag("button", { type: "button", class: "button" }, "Guess again");
    this.outcome = tag("ul", { class: "outcome" });
    const spoken = tag("div", { role: "status" }, this.outcome);
    this.node = tag("section", { class: "panel", id: "guesspanel", "aria-label": "Guess first", hidden: "" },
      tag("p", {}, "Draw on the chart how the plant will grow, or go to a year and write a number."),
      tag("div", { class: "asked" },
        tag("div", {}, tag("label", { for: "guessed" }, "Plant to guess"), this.pick),
        tag("div", {}, this.numberLabel, this.number),
        tag("div", { class: "tools" }, this.reveal, this.again)),
      spoken);
    this.listen();
  }

  listen() {
    this.pick.addEventListener("change", () => this.begin());
    this.number.addEventListener("input", () => this.setNumber());
    this.reveal.addEventListener("click", () => { this.revealed = true; this.on.changed(); });
    this.again.addEventListener("click", () => this.begin());
    const { chart } = this.chart;
    chart.addEventListener("pointerdown", (press) => {
      if (!this.secret) return;
      press.preventDefault();
      chart.setPointerCapture(press.pointerId);
      this.stroke = null;
      this.draw(press);
    });
    chart.addEventListener("pointermove", (move) => { if (this.secret && chart.hasPointerCapture(move.pointerId)) this.draw(move); });
  }

  /* The runner whose course is not to be seen yet; none once it is revealed. */
  get secret() { return this.open && !this.revealed ? this.runner : null; }

  toggle() {
    this.open = !this.open;
    this.node.hidden = !this.open;
    this.begin();
    if (this.open) this.chart.node.scrollIntoView({ block: "nearest" });
  }

  begin() {
    this.runner = this.runners[Number(this.pick.value)] || null;
    this.revealed = false;
    this.points.clear();
    this.on.changed();
  }

  /* New plants: the guess is about one of them, or starts anew. */
  tell(runners) {
    this.runners = runners;
    const at = runners.indexOf(this.runner);
    this.pick.replaceChildren(...runners.map((runner, i) => tag("option", { value: i }, `${runner.label}, ${runner.size}`)));
    this.pick.value = String(Math.max(0, at));
    if (at < 0) {
      this.runner = runners[0] || null;
      this.revealed = false;
      this.points.clear();
    }
  }

  /* A change of what is charted: a guess of heights is none of spreads. */
  chartOther() { this.points.clear(); this.revealed = false; }

  draw(event) {
    const box = this.chart.chart.getBoundingClientRect();
    const share = (event.clientX - box.left - THUMB_PX / 2) / (box.width - THUMB_PX);
    const year = Math.min(LAST_YEAR, Math.max(1, Math.round(share * LAST_YEAR)));
    const metres = this.chart.metresAt(event.clientY - box.top);
    const [from, start] = this.stroke || [year, metres];
    const steps = Math.abs(year - from);
    for (let i = 0; i <= steps; i += 1) {
      this.points.set(from + Math.sign(year - from) * i, start + (metres - start) * (steps ? i / steps : 1));
    }
    this.stroke = [year, metres];
    this.on.changed();
  }

  setNumber() {
    const year = this.year;
    const value = this.number.valueAsNumber;
    if (Number.isFinite(value) && value >= 0) this.points.set(year, value * this.lengths.unitM);
    else this.points.delete(year);
    this.on.changed();
  }

  /* Guessed points in the order of years, from the size at planting on, in metres. */
  line() {
    if (!this.runner) return [];
    const start = this.runner.course[this.chart.of].expected[0];
    return [[0, start], ...[...this.points].sort((a, b) => a[0] - b[0])];
  }

  show(year) {
    this.year = Math.max(1, Math.round(year));
    const secret = Boolean(this.secret);
    this.numberLabel.textContent = `Guess for year ${this.year}, ${this.lengths.unit}`;
    this.number.disabled = !secret;
    if (this.number.getRootNode().activeElement !== this.number || this.numberYear !== this.year) {
      const known = this.points.get(this.year);
      this.number.value = known === undefined ? "" : (known / this.lengths.unitM).toFixed(1);
    }
    this.numberYear = this.year;
    this.reveal.disabled = !secret;
    this.again.disabled = !this.open || this.points.size + Number(this.revealed) === 0;
    this.chart.chart.classList.toggle("drawing", secret);
    this.chart.showGuess(this.open ? this.line() : [], this.runner ? this.runner.slot : 0);
    this.outcome.replaceChildren(...(this.open && this.revealed ? this.outcomes() : []));
  }

  /* Guess against forecast in the compared years that the guess reaches. */
  outcomes() {
    const line = this.line();
    const reached = line[line.length - 1][0];
    const lines = COMPARED_YEARS.filter((year) => year <= reached).map((year) => {
      const guess = this.guessAt(line, year);
      const [low, expected, high] = rangeAt(this.runner.course[this.chart.of], year);
      const verdict = guess < low ? "below the range" : guess > high ? "above the range" : "within the range";
      const [figure, span] = this.lengths.range([low, expected, high]);
      return `Year ${year}: guessed ${this.lengths.one(guess)}, forecast ${figure}${span ? ` (${span})` : ""}: ${verdict}.`;
    });
    return (lines.length ? lines : ["The forecast is shown."]).map((words) => tag("li", {}, words));
  }

  guessAt(line, year) {
    const after = line.findIndex(([y]) => y >= year);
    if (line[after][0] === year) return line[after][1];
    const [[y0, m0], [y1, m1]] = [line[after - 1], line[after]];
    return m0 + (m1 - m0) * (year - y0) / (y1 - y0);
  }
}
