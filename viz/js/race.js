/* The growth race in the browser: plants side by side, their order, who passes whom, the tall
   chart and the figures. All courses came along; the server is never asked. */

const FIGURE_YEARS = [1, 5, 15];
const QUANTITIES = [["height", "Height"], ["spread", "Spread"]];
const RACED = ["kinds", "courses", "outlines", "story"];
const GUESS_FLOOR_M = { trunk: 25, other: 4 };

class Race {
  constructor(model) {
    const [kinds, courses, outlines] = [model.kinds, model.courses, model.outlines].map(unpacked);
    this.story = { ...model.story };
    this.kinds = kinds.kinds;
    this.courses = courses;
    this.lengths = new Lengths(this.story.unit, this.story.unit_m);
    this.of = "height";
    this.runners = [];
    this.changes = new Changes();
    this.field = new Field(outlines, this.lengths);
    this.chart = new RaceChart(this.lengths);
    this.guess = new Guess(this.lengths, this.chart, { changed: () => this.redraw() });
    this.picker = new Picker(this.kinds, {
      add: (kind) => this.add(kind),
      remove: (runner) => this.change(this.runners.filter((each) => each !== runner)),
      resize: (runner, size) => this.resize(runner, size),
    });
    this.years = new Years(this.story, { shown: (year) => this.show(year) }, this.chart.node);
    this.makeTools();
    this.figures = tag("tbody");
    this.node = tag("div", { class: "columns race" }, this.field.node, this.makeSide(), this.picker.node, this.years.node, this.makeTable());
    this.runners = kinds.start.reduce((runners, i) => [...runners, this.runner(this.kinds[i], runners)], []);
    this.resized = new ResizeObserver(() => this.layout());
  }

  /* Beside the chart: what it shows, and the guess, whose panel opens under it. */
  makeTools() {
    const choices = radios("of", QUANTITIES.map((q) => q[1]), 0, (i) => {
      [this.of] = QUANTITIES[i];
      this.guess.chartOther();
      this.redraw();
    });
    const guess = this.toggleButton("Guess first", () => this.guess.toggle(), "guesspanel");
    this.chart.tools.append(
      tag("div", { class: "switch", role: "group", "aria-label": "What the chart shows" }, ...choices), guess);
    this.chart.node.append(this.guess.node);
  }

  makeSide() {
    this.order = tag("ol", { class: "order" });
    this.cover = this.toggleButton("Cover the years ahead", (on) => this.years.cover(on));
    const pick = this.toggleButton("Choose plants", () => this.picker.toggle(), "pickpanel");
    return tag("aside", { class: "side", "aria-label": "Order and plants" },
      tag("section", {}, tag("h2", {}, "Order by height", tag("small", {}, "(slow to fast)")), this.order),
      tag("div", { class: "tools" }, this.cover, pick));
  }

  /* A button that stays pressed, or opens the panel it names. */
  toggleButton(words, act, panel = null) {
    const state = panel ? "aria-expanded" : "aria-pressed";
    const button = tag("button", { type: "button", class: "button", [state]: "false", "aria-controls": panel }, words);
    button.addEventListener("click", () => {
      const on = button.getAttribute(state) !== "true";
      button.setAttribute(state, String(on));
      act(on);
    });
    return button;
  }

  makeTable() {
    const heads = FIGURE_YEARS.map((year) => tag("th", { scope: "col" }, `Year ${year}`));
    return tag("section", { class: "figures", "aria-label": "Figures" },
      tag("table", {}, tag("caption", {}, "Height and spread at years 1, 5 and 15: expected, and slow to fast"),
        tag("thead", {}, tag("tr", {}, tag("th", { scope: "col" }, "Plant"), ...heads, tag("th", { scope: "col" }, "How we know"))),
        this.figures));
  }

  /* A plant in the race, in the first free colour. */
  runner(kind, others, size = kind.size) {
    const taken = others.map((each) => each.slot);
    const slot = [1, 2, 3, 4, 5].find((each) => !taken.includes(each));
    return { kind, slot, ...this.sized(kind, size) };
  }

  sized(kind, size) {
    return { sizeIndex: size, size: kind.sizes[size], course: courseOf(this.courses, kind.course + size) };
  }

  add(kind) {
    if (this.runners.length < MOST_RACING) this.change([...this.runners, this.runner(kind, this.runners)]);
  }

  resize(runner, size) {
    Object.assign(runner, this.sized(runner.kind, size));
    this.guess.chartOther();
    this.change(this.runners);
  }

  /* Other plants or sizes: everything that hangs on them is told anew. */
  change(runners) {
    this.runners = runners;
    for (const runner of runners) {
      const { kind } = runner;
      const twice = runners.filter((each) => each.kind === kind).length > 1;
      runner.inner = (kind.common || kind.name) + (twice ? `, ${runner.size}` : "");
      runner.label = sentenceCase(runner.inner);
    }
    this.picker.tell(runners);
    this.guess.tell(runners);
    this.tellYears();
    this.redraw();
  }

  /* Passings of a plant still to be guessed are not told. */
  tellYears() {
    const { secret } = this.guess;
    this.told = secret;
    const shown = this.runners.filter((runner) => runner !== secret);
    const events = passEvents(shown);
    const quiet = shown.length ? "no_passing" : "nobody";
    this.story.newly = events.length ? this.newly : this.story[quiet];
    this.years.tell(events, crownAreas(shown.map((runner) => runner.course)));
  }

  begin() {
    this.newly = this.story.newly;
    this.change(this.runners);
    this.resized.observe(this.node);
  }

  redraw() {
    if (this.told !== this.guess.secret) this.tellYears();
    this.changes = new Changes();
    this.layout();
  }

  layout() {
    if (!this.node.clientWidth) return;
    this.field.layout(this.runners, this.scale("height"));
    this.chart.layout(this.runners, this.of, this.scale(this.of));
    this.years.layout();
  }

  /* The scale holds every range to the end, and gives nothing away of a plant to be guessed. */
  scale(of) {
    const { secret } = this.guess;
    const tallest = this.runners.filter((runner) => runner !== secret).map((runner) => Math.max(...runner.course[of].high));
    if (of === "height") tallest.push(PERSON_M);
    if (secret) tallest.push(secret.kind.trunk ? GUESS_FLOOR_M.trunk : GUESS_FLOOR_M.other);
    if (this.guess.open && of === this.of) tallest.push(...this.guess.points.values());
    return evenScale(Math.max(...tallest, 0.1) / this.lengths.unitM);
  }

  show(year) {
    const { secret } = this.guess;
    const { covered } = this.years;
    this.field.show(year, covered, secret);
    this.chart.show(year, covered, secret);
    this.guess.show(year);
    this.showOrder(year, secret);
    this.showFigures(covered ? year : LAST_YEAR, secret);
  }

  showOrder(year, secret) {
    const height = (runner) => (runner === secret ? -1 : atYear(runner.course.height.expected, year));
    const order = [...this.runners].sort((a, b) => height(b) - height(a));
    const rows = order.map((runner) => {
      const told = runner === secret ? ["?", ""] : this.lengths.range(rangeAt(runner.course.height, year));
      return { runner, told };
    });
    this.changes.when("order", rows.map(({ runner, told }) => `${runner.slot} ${told}`).join("|"), () => {
      this.order.replaceChildren(...rows.map(({ runner, told: [expected, span] }) => tag("li", {},
        this.lineKey(runner), tag("span", {}, runner.label, tag("small", {}, stockWords(runner.size))), tag("b", {}, expected), tag("small", {}, span))));
    });
  }

  lineKey(runner) {
    const key = shape("svg", { width: 30, height: 12, "aria-hidden": "true", style: `color:var(--p${runner.slot})` });
    shape("line", { x1: 0, x2: 30, y1: 6, y2: 6, stroke: "currentColor", "stroke-width": 3, "stroke-dasharray": DASHES[runner.slot - 1] }, key);
    return key;
  }

  /* The table; years after `told` are covered. */
  showFigures(told, secret) {
    const state = `${FIGURE_YEARS.filter((year) => year <= told).length} ${this.runners.indexOf(secret)}`;
    this.changes.when("figures", state, () => {
      this.figures.replaceChildren(...this.runners.map((runner) => tag("tr", {},
        tag("th", { scope: "row" }, tag("div", { class: "who" }, this.lineKey(runner), tag("span", {}, runner.label, tag("small", {}, `planted as ${stockWords(runner.size)}`), this.warning(runner)))),
        ...FIGURE_YEARS.map((year) => this.figureCell(runner, year, runner === secret || year > told)),
        this.basisCell(runner, runner === secret))));
    });
  }

  warning({ kind }) {
    return kind.cautions ? tag("small", { class: "warned" }, sentenceCase(kind.cautions)) : "";
  }

  figureCell(runner, year, hidden) {
    const cell = tag("td", { "data-year": `Year ${year}` });
    for (const [of, word] of [["height", "tall"], ["spread", "wide"]]) {
      const [expected, span] = hidden ? ["?", ""] : this.lengths.range(rangeAt(runner.course[of], year));
      cell.append(tag("div", {}, tag("b", {}, expected), tag("span", {}, ` ${word}`), span ? tag("small", {}, ` ${span}`) : ""));
    }
    return cell;
  }

  basisCell({ kind }, hidden) {
    const [height, spread] = kind.mature_m.map((span) => this.lengths.span(...span));
    const cities = [...new Set(kind.measured.map((row) => row.city))];
    const trees = kind.measured.reduce((sum, row) => sum + row.trees, 0);
    const cell = tag("td", { "data-year": "How we know" }, tag("div", {}, sentenceCase(kind.basis)));
    if (hidden) return cell; // sizes would give the guess away
    cell.append(tag("small", {}, `Stated mature: ${height} tall, ${spread} wide.`), tag("small", {}, kind.source));
    if (trees) cell.append(tag("small", {}, `Rings: ${trees} trees measured in ${cities.join("; ")}.`));
    if (kind.seen.length) cell.append(tag("small", {}, "Dots: sizes seen locally."));
    return cell;
  }

  end() {
    this.years.stop();
    this.resized.disconnect();
  }
}

/* A size at planting as somebody reads it who has not bought plants by it. */
function stockWords(size) {
  return size.startsWith("#") ? `${size} container` : size;
}

/* A race with the plants, sizes and year of another one. */
function raceAgain(model, old) {
  const race = new Race(model);
  const known = (name) => race.kinds.find((kind) => kind.name === name);
  race.runners = old.runners.filter(({ kind }) => known(kind.name)).reduce((runners, { kind, size }) => {
    const now = known(kind.name);
    const at = now.sizes.indexOf(size);
    return [...runners, race.runner(now, runners, at < 0 ? now.size : at)];
  }, []);
  race.years.year = old.years.year;
  return race;
}

/* Panel's entry: builds the race once it is told; it begins once its nodes are in the page. Where the document
   is followed, another race takes its place when plants, sizes or site are others. */
export function render({ model }) {
  return onceTold(model, () => raceFollowing(model));
}

function raceFollowing(model) {
  const news = new News();
  let race = new Race(model);
  let known = RACED.map((name) => model[name]);
  const node = tag("div", {}, news.mistake, race.node);
  const take = () => {
    if (RACED.some((name, i) => model[name] !== known[i])) {
      known = RACED.map((name) => model[name]);
      const old = race;
      race = raceAgain(model, old);
      old.end();
      old.node.replaceWith(race.node);
      race.begin();
      if (old.years.covered) race.cover.click();
      if (old.of !== race.of) race.chart.tools.querySelector("input:not(:checked)").click();
      document.title = document.querySelector(".top h1").textContent = model.story.title;
    }
    race.field.node.append(news.again);
    news.say(model.news);
    node.dataset.told = model.news.count;
  };
  requestAnimationFrame(() => {
    race.begin();
    model.on("news", take);
    if (model.news.count) take();
  });
  model.on("remove", () => race.end());
  return node;
}
