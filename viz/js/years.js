/* The years: the sentence with Before and Next, clock, track, and the upright line through
   them. Whoever shows something that changes with the year is told by `on.shown`; an event
   that was pressed or stepped to is handed to `on.jumped` first. */

const PLAY_MS_PER_YEAR = 600;
const MOST_TOLD = 3;
const STEP_KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 5, PageDown: -5 };

/* "1,234 sq ft (1,100–1,300)" of a yearly range, `unitM2` square metres to the unit. */
function areaWords({ low, expected, high }, year, unit, unitM2) {
  const [least, likely, most] = [low, expected, high].map((values) => {
    const area = atYear(values, year) / unitM2;
    return area.toLocaleString("en", { maximumFractionDigits: area < 10 ? 1 : 0 });
  });
  return `${likely}\u00a0${unit}` + (least === most ? "" : ` (${least}–${most})`);
}

class Years {
  /* story: start_year, newly, dates, area_unit, area_m2. `below` stands under the track. */
  constructor(story, on, below = null) {
    this.story = story;
    this.on = on;
    this.year = story.start_year;
    this.covered = false;
    this.foreword = () => ""; // what stands before the sentence of a year
    this.changes = new Changes();
    this.playing = 0;
    this.track = new Track((to) => this.go(to));
    this.makeTale();
    this.makeClock();
    this.makeBeside();
    this.thread = tag("div", { class: "thread", "aria-hidden": "true" });
    this.node = tag("section", { class: "years", "aria-label": "The years" },
      this.tale, this.clock, this.track.node, this.beside, below, this.thread);
    this.listen();
    this.drawPlay();
  }

  makeTale() {
    this.before = tag("button", { type: "button", class: "button before", "aria-label": "Event before" }, strokeIcon("M8 2 2 7l6 5", 10, 14), "Before");
    this.next = tag("button", { type: "button", class: "button next", "aria-label": "Next event" }, "Next", strokeIcon("M2 2l6 5-6 5", 10, 14));
    this.say = tag("p", { class: "say", "aria-live": "polite" });
    this.where = tag("button", { type: "button", class: "link" }, "Show where");
    this.where.addEventListener("click", () => this.go(this.told));
    this.tale = tag("div", { class: "tale" }, tag("div", { class: "steps" }, this.before, this.next), this.say);
  }

  makeClock() {
    this.play = tag("button", { type: "button", class: "button round", "aria-label": "Play the years", "aria-pressed": "false" }, strokeIcon("", 14, 14));
    this.number = tag("span", { class: "number" });
    this.clock = tag("div", { class: "clock" }, this.play,
      tag("output", { class: "big", for: "year" }, tag("small", {}, "Year"), this.number));
  }

  makeBeside() {
    this.date = tag("b");
    this.crown = tag("b");
    this.more = tag("summary", {}, "Everything that happens");
    this.happens = tag("details", { class: "all" }, this.more, this.track.list);
    const key = shape("svg", { width: 52, height: 16, viewBox: "0 0 52 16", "aria-hidden": "true" });
    shape("rect", { x: 1, y: 4, width: 50, height: 8, rx: 4, class: "span" }, key);
    shape("rect", { x: 18, y: 0, width: 3, height: 16, fill: "var(--leaf)" }, key);
    this.beside = tag("div", { class: "beside" },
      tag("div", { class: "trackside" }, tag("span", {}, this.date), tag("span", {}, "All crowns: ", this.crown),
        tag("span", {}, key, " fast, expected, slow")),
      this.happens);
  }

  listen() {
    const { slider } = this.track;
    slider.addEventListener("input", () => this.step(Number(slider.value)));
    slider.addEventListener("keydown", (key) => this.stepByKey(key));
    slider.addEventListener("pointerdown", () => this.stop());
    this.before.addEventListener("click", () => this.stepToEvent(-1));
    this.next.addEventListener("click", () => this.stepToEvent(1));
    this.play.addEventListener("click", () => (this.playing ? this.stop() : this.start()));
    const skip = document.querySelector("a.skip");
    if (skip) skip.addEventListener("click", (click) => { click.preventDefault(); slider.focus(); });
  }

  /* What happens when, in the order of years, and the area of all crowns by year. */
  tell(events, crowns) {
    this.events = events;
    this.crowns = crowns;
    this.track.tell(events, crowns);
    this.happens.hidden = !events.length;
    this.changes = new Changes();
  }

  /* Draws everything for the present width, then the year shown. */
  layout() {
    this.track.layout();
    const { node } = this.track;
    const besideBelow = window.innerWidth <= 1080;
    const bottom = besideBelow ? node.offsetTop + node.offsetHeight : node.offsetParent.offsetHeight;
    this.thread.style.cssText = `top:${node.offsetTop}px;left:${node.offsetLeft}px;height:${bottom - node.offsetTop}px`;
    this.happens.classList.toggle("needed", this.track.hidden > 0);
    this.more.textContent = this.track.hidden ? `Everything that happens (${this.track.hidden} more)` : "Everything that happens";
    this.show();
  }

  /* Covers the years ahead of the one shown, or uncovers them. */
  cover(covered) {
    this.covered = covered;
    this.show();
  }

  step(year) {
    this.year = Math.min(LAST_YEAR, Math.max(0, Math.round(year * 10) / 10));
    this.show();
  }

  show() {
    const { year, story } = this;
    this.track.show(year, this.covered ? year : LAST_YEAR);
    const x = `${Math.round(xOfYear(year, this.track.width))}px`;
    this.thread.style.transform = `translateX(${x})`;
    this.changes.when("number", year, () => { this.number.textContent = year; });
    this.changes.when("date", Math.floor(year), (whole) => { this.date.textContent = story.dates[whole]; });
    const area = areaWords(this.crowns, year, story.area_unit, story.area_m2);
    this.changes.when("crowns", area, () => { this.crown.textContent = area; });
    this.sayWhat(year);
    this.on.shown(year, x);
  }

  /* The sentence: what happens in this very year, else what happened last. */
  sayWhat(year) {
    const here = this.events.filter((event) => event.year === year);
    const past = this.events.filter((event) => event.year < year);
    const events = here.length ? here.slice(-MOST_TOLD) : past.slice(-1);
    const words = this.foreword(year) + (this.sentences(events) || this.story.newly);
    this.told = events.find((event) => event.place || event.at);
    this.changes.when("say", words, () => { this.say.replaceChildren(...unbroken(words), ...(this.told ? [this.where] : [])); });
    const spoken = this.sentences(here);
    this.changes.when("spoken", `Year ${year}. ${spoken}`, () => {
      this.track.slider.setAttribute("aria-valuetext", spoken ? `Year ${year}. ${spoken}` : `Year ${year}`);
    });
  }

  /* Events of one year in words: what happens with its span, then what is due. */
  sentences(events) {
    const happens = events.filter((event) => event.band !== "rule")
      .map((event) => `${event.sentence} Expected in year ${event.year} (${spanWords(event, " to ") || "in any case"}).`);
    const due = events.filter((event) => event.band === "rule").map((event) => event.sentence);
    return [...happens, ...(due.length ? [`Due in year ${events[0].year}: ${due.join(" ")}`] : [])].join(" ");
  }

  stepByKey(key) {
    if (key.key === "Home" || key.key === "End") this.stop();
    const step = STEP_KEYS[key.key];
    if (step === undefined) return;
    key.preventDefault();
    this.stop();
    this.step(this.year + step * (key.shiftKey ? 0.1 : 1));
  }

  stepToEvent(way) {
    const years = this.events.map((event) => event.year);
    const to = way > 0 ? years.find((y) => y > this.year) : years.filter((y) => y < this.year).pop();
    this.stop();
    if (to !== undefined) this.step(to);
  }

  /* To a year, or to an event and its year. */
  go(to) {
    this.stop();
    if (typeof to !== "number" && this.on.jumped) this.on.jumped(to);
    this.step(typeof to === "number" ? to : to.year);
  }

  start() {
    if (this.year >= LAST_YEAR) this.step(0);
    this.say.setAttribute("aria-live", "off");
    this.play.setAttribute("aria-pressed", "true");
    let [startYear, startMs] = [this.year, performance.now()];
    const tick = (now) => {
      this.step(startYear + Math.max(0, now - startMs) / PLAY_MS_PER_YEAR);
      this.playing = this.year < LAST_YEAR ? requestAnimationFrame(tick) : 0;
      if (!this.playing) this.stop();
    };
    this.playing = requestAnimationFrame(tick);
    this.drawPlay();
  }

  stop() {
    cancelAnimationFrame(this.playing);
    this.playing = 0;
    this.say.setAttribute("aria-live", "polite");
    this.play.setAttribute("aria-pressed", "false");
    this.drawPlay();
  }

  drawPlay() {
    const path = this.play.querySelector("path");
    path.setAttribute("d", this.playing ? "M4 2v10M10 2v10" : "M3.5 2 12 7 3.5 12z");
    path.setAttribute("stroke-width", this.playing ? 3 : 1.8);
    path.setAttribute("fill", this.playing ? "none" : "currentColor");
  }
}
