/* The tall chart of the race: one course a plant with its range, measured sizes, and the
   class's guess. Years ahead can be covered; a plant still to be guessed is left out. */

const CHART_PX = 300;
const CHART_TOP_PX = 8;
const CHART_BOTTOM_PX = 8;
const DASHES = ["", "9 4", "2 4", "12 3 2 3", "5 2"];
const END_LINE_PX = 17;

class RaceChart {
  constructor(lengths) {
    this.lengths = lengths;
    this.art = shape("svg", { "aria-hidden": "true" });
    this.line = tag("i", { class: "thread" });
    this.chart = tag("div", { class: "racechart", role: "img" }, this.art, this.line);
    this.ends = tag("div", { class: "ends", "aria-hidden": "true" });
    this.name = tag("span");
    this.note = tag("small");
    this.tools = tag("div", { class: "racetools" });
    this.node = tag("div", { class: "racing" },
      tag("div", { class: "racename" }, this.name, this.note, this.tools), this.chart, this.ends);
  }

  /* scale: step and top in the page's unit. */
  layout(runners, of, scale) {
    Object.assign(this, { runners, of, scale });
    this.width = Math.max(80, this.chart.clientWidth);
    this.name.textContent = of === "height" ? "Height" : "Spread";
    this.note.textContent = `0–${Number(scale.top.toFixed(2))} ${this.lengths.unit}; shaded: slow to fast`;
    this.art.setAttribute("width", this.width);
    this.art.setAttribute("height", CHART_PX);
    this.art.replaceChildren();
    this.drawGrid();
    const clip = shape("clipPath", { id: "told" }, this.art);
    this.told = shape("rect", { x: 0, y: 0, width: this.width, height: CHART_PX }, clip);
    this.courses = shape("g", { "clip-path": "url(#told)" }, this.art);
    this.drawn = runners.map((runner) => this.drawCourse(runner));
    this.guess = shape("path", { class: "guess" }, this.art);
    this.guessDots = shape("g", { class: "guessdots" }, this.art);
    this.drawEnds();
  }

  x(year) { return xOfYear(year, this.width); }

  y(m) {
    const share = m / (this.scale.top * this.lengths.unitM);
    return CHART_PX - CHART_BOTTOM_PX - share * (CHART_PX - CHART_TOP_PX - CHART_BOTTOM_PX);
  }

  /* Metres at a pixel of the chart, none below zero. */
  metresAt(y) {
    const share = (CHART_PX - CHART_BOTTOM_PX - y) / (CHART_PX - CHART_TOP_PX - CHART_BOTTOM_PX);
    return Math.max(0, share * this.scale.top * this.lengths.unitM);
  }

  drawGrid() {
    for (let year = 0; year <= LAST_YEAR; year += 5) {
      shape("line", { x1: this.x(year), x2: this.x(year), y1: CHART_TOP_PX, y2: CHART_PX - CHART_BOTTOM_PX, class: "hair" }, this.art);
    }
    for (let at = 0; at <= this.scale.top * 1.001; at += this.scale.step) {
      const y = this.y(at * this.lengths.unitM);
      shape("line", { x1: this.x(0), x2: this.x(LAST_YEAR), y1: y, y2: y, class: at ? "hair" : "edge" }, this.art);
      if (at) shape("text", { x: this.x(0) + 4, y: y + (y < 20 ? 13 : -4) }, this.art).textContent = Number(at.toFixed(2));
    }
  }

  drawCourse(runner) {
    const range = runner.course[this.of];
    const group = shape("g", { style: `color:var(--p${runner.slot})` }, this.courses);
    const points = (values) => values.map((m, year) => `${this.x(year).toFixed(1)} ${this.y(m).toFixed(1)}`);
    shape("path", { d: `M${[...points(range.high), ...points(range.low).reverse()].join("L")}Z`, class: "range" }, group);
    shape("path", { d: `M${points(range.expected).join("L")}`, class: "course", "stroke-dasharray": DASHES[runner.slot - 1] }, group);
    for (const row of runner.kind.measured) {
      shape("circle", { cx: this.x(row.years), cy: this.y(row[this.of]), r: 3.5, class: "measured" }, group);
    }
    for (const [years, height, spread] of runner.kind.seen) {
      shape("circle", { cx: this.x(years), cy: this.y(this.of === "height" ? height : spread), r: 4, class: "seen" }, group);
    }
    return group;
  }

  /* Names at the ends of the lines, pushed apart. */
  drawEnds() {
    const order = [...this.runners].sort((a, b) => this.last(b)[1] - this.last(a)[1]);
    const tops = order.map((runner) => this.y(this.last(runner)[1]) - 9);
    for (let i = 1; i < tops.length; i += 1) tops[i] = Math.max(tops[i], tops[i - 1] + END_LINE_PX);
    const most = CHART_PX - END_LINE_PX;
    for (let i = tops.length - 1; i >= 0; i -= 1) tops[i] = Math.min(tops[i], most - (tops.length - 1 - i) * END_LINE_PX);
    this.endOf = new Map(order.map((runner, i) => {
      const [expected, span] = this.lengths.range(this.last(runner));
      const node = tag("div", { style: `top:${tops[i]}px` },
        tag("b", { style: `color:var(--p${runner.slot})` }, runner.label),
        ` ${expected}`, span ? tag("small", {}, ` (${span})`) : null);
      return [runner, node];
    }));
    this.ends.replaceChildren(...this.endOf.values());
  }

  last(runner) { return rangeAt(runner.course[this.of], LAST_YEAR); }

  show(year, covered, secret) {
    this.told.setAttribute("width", covered ? this.x(year) : this.width);
    this.line.style.transform = `translateX(${Math.round(this.x(year))}px)`;
    this.runners.forEach((runner, i) => {
      this.drawn[i].style.display = runner === secret ? "none" : "";
      this.endOf.get(runner).style.visibility = runner === secret || (covered && year < LAST_YEAR) ? "hidden" : "";
    });
    const told = this.runners.filter((runner) => runner !== secret).map((runner) => {
      const [expected, span] = this.lengths.range(rangeAt(runner.course[this.of], year));
      return `${runner.label} ${expected}${span ? ` (${span})` : ""}`;
    });
    this.chart.setAttribute("aria-label", `${this.name.textContent} through the years; in year ${year}: ${told.join("; ") || "nothing shown"}.`);
  }

  /* The class's guess: metres by year, sparse; straight between. */
  showGuess(points, slot) {
    const at = points.map(([year, m]) => [this.x(year).toFixed(1), this.y(m).toFixed(1)]);
    this.guess.setAttribute("d", at.length > 1 ? `M${at.map((p) => p.join(" ")).join("L")}` : "");
    this.guessDots.replaceChildren();
    this.guess.style.color = this.guessDots.style.color = slot ? `var(--p${slot})` : "";
    if (points.length <= 8) at.forEach(([cx, cy]) => shape("circle", { cx, cy, r: 4 }, this.guessDots));
  }
}
