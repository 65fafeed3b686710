/* The year track: bands of events, the groove with its thumb, and the stops.
   One axis serves marks, groove, thread and charts: x(year) = 11 + year / 30 * (width - 22),
   because the native thumb is 22 px wide and its middle travels between the two ends. */

const THUMB_PX = 22;
const LAST_YEAR = 30;
const STOPS = [0, 1, 5, 10, 15, 20, 25, 30];
const KEY_STOPS = [0, 1, 5, 15, 30];
const LANE_PX = 24;
const LANE_PX_PHONE = 18;
const MOST_LANES = 9; // of all bands together, if the conditions leave room for it
const LEAST_LANES = 4; // of what is not a condition
const BANDS = [["fills", "Fills in"], ["blocks", "Gets in the way"], ["passes", "Who passes whom"], ["rule", "Conditions"]];

/* Pixel of a year on an axis `width` pixels wide. */
function xOfYear(year, width) {
  return THUMB_PX / 2 + (year / LAST_YEAR) * (width - THUMB_PX);
}

/* Value of a yearly series at a year with a fraction. */
function atYear(values, year) {
  const before = Math.min(Math.floor(year), values.length - 2);
  return values[before] + (values[before + 1] - values[before]) * (year - before);
}

/* "2–4", "8 to after 30", or "" for a fixed date. */
function spanWords(event, joint = "–") {
  if (event.last === event.first) return "";
  return event.last === null ? `${event.first} to after ${LAST_YEAR}` : `${event.first}${joint}${event.last}`;
}

/* How an event is spoken: "Lane bed closed, year 3, between years 2 and 4". */
function spokenEvent(event) {
  if (event.last === event.first) return `${event.title}, year ${event.year}, a fixed date`;
  const until = event.last === null ? `after ${LAST_YEAR}` : event.last;
  return `${event.title}, year ${event.year}, between years ${event.first} and ${until}`;
}

class Track {
  /* go(event or year) is called on a press. */
  constructor(go) {
    this.go = go;
    this.marks = tag("div", { class: "marks" });
    this.grooveArt = shape("svg", { "aria-hidden": "true" });
    this.slider = tag("input", { id: "year", type: "range", min: 0, max: LAST_YEAR, step: 0.1, value: 0 });
    this.groove = tag("div", { class: "groove" }, this.grooveArt,
      tag("label", { class: "unseen", for: "year" }, "Year"), this.slider);
    this.stops = STOPS.map((year) => this.makeStop(year));
    this.stopRow = tag("div", { class: "stops", role: "group", "aria-label": "Go to a year" }, ...this.stops);
    this.list = tag("ol", { class: "happens" });
    this.node = tag("div", { class: "track" }, this.marks, this.groove, this.stopRow);
    this.changes = new Changes();
    this.hidden = 0;
    this.shapesOnly = false; // neither words nor spans, at any width
  }

  /* What the bands tell and how thick the groove is; drawn by the next layout. */
  tell(events, crowns) {
    this.events = events;
    this.crowns = crowns;
    this.list.replaceChildren(...events.map((event) => this.listed(event)));
  }

  makeStop(year) {
    const key = KEY_STOPS.includes(year);
    const stop = tag("button", { type: "button", class: key ? "key" : "", "aria-label": `Year ${year}`, "aria-pressed": "false" }, String(year));
    stop.addEventListener("click", () => this.go(year));
    return stop;
  }

  words(event) {
    const span = spanWords(event);
    const tail = tag("span", { class: "tail" });
    if (event.squares) tail.append(" ", squares(event.squares));
    tail.append(", ", tag("b", {}, `year ${event.year}`));
    if (span) tail.append(" ", tag("small", {}, `(${span})`));
    return tag("span", { class: "text" }, tag("span", { class: "title" }, event.title), tail);
  }

  listed(event) {
    const button = tag("button", { type: "button" }, bandShape(event.band), this.words(event));
    button.addEventListener("click", () => this.go(event));
    return tag("li", {}, button);
  }

  mark(event) {
    const button = tag("button", { type: "button", class: "mark", tabindex: -1, "aria-label": spokenEvent(event) },
      bandShape(event.band), this.words(event));
    button.addEventListener("click", () => this.go(event));
    return button;
  }

  /* Draws everything for the present width. Nothing is measured in a step after this. */
  layout() {
    this.width = Math.max(80, this.node.clientWidth);
    this.shapes = this.shapesOnly || window.innerWidth <= 760;
    this.changes = new Changes();
    this.layoutMarks();
    this.layoutGroove();
    const spread = window.innerWidth > 1080;
    this.stops.forEach((stop, i) => { stop.style.left = spread ? `${xOfYear(STOPS[i], this.width)}px` : ""; });
  }

  layoutMarks() {
    this.marks.replaceChildren();
    const art = shape("svg", { width: this.width, height: "100%", "aria-hidden": "true" });
    const list = tag("ol", { "aria-label": "What happens, in order of years" });
    this.marks.append(art, list);
    this.placed = this.events.map((event) => {
      const button = this.mark(event);
      button.classList.add("here"); // measured bold, its widest
      list.append(tag("li", {}, button));
      const width = this.shapes ? 0 : Math.ceil(button.getBoundingClientRect().width) + 1;
      button.classList.remove("here");
      return { event, button, width };
    });
    if (this.shapes && !this.shapesOnly) list.setAttribute("aria-hidden", "true");
    else if (this.placed.length) this.placed[0].button.tabIndex = 0;
    list.addEventListener("keydown", (key) => this.walkMarks(key));
    const height = this.placeBands(art);
    this.marks.style.minHeight = `${height}px`;
  }

  /* Gives every mark a lane in its band, names the bands, and returns the height used. */
  placeBands(art) {
    const lanePx = this.phone ? LANE_PX_PHONE : LANE_PX;
    let top = 2;
    const grid = shape("g", {}, art);
    this.hidden = 0;
    for (const { name, mine, shown } of this.bandsWithLanes()) {
      for (const mark of mine) {
        mark.y = top + mark.lane * lanePx + lanePx / 2;
        mark.shown = mark.lane < shown;
        if (mark.shown) this.drawMark(mark, art);
        else { mark.button.parentNode.remove(); this.hidden += 1; }
      }
      if (!shown) continue;
      if (top > 2) shape("line", { x1: this.phone ? 0 : -this.node.offsetLeft, x2: this.width, y1: top - 4, y2: top - 4, class: "hair" }, grid);
      const label = tag("div", { class: "band" }, name);
      label.style.top = `${top}px`;
      this.marks.append(label);
      top += shown * lanePx + 7;
    }
    this.placed = this.placed.filter((mark) => mark.shown);
    for (let year = 0; year <= LAST_YEAR; year += 5) {
      const x = xOfYear(year, this.width);
      shape("line", { x1: x, x2: x, y1: 0, y2: "100%", class: "hair" }, grid);
    }
    return top + 2;
  }

  /* The bands that have marks, each mark with its lane, and how many lanes of each are shown: all
     of the conditions; the others take turns at what is left, so that none crowds out another
     and the groove stays near the picture. */
  bandsWithLanes() {
    const bands = BANDS.map(([band, name]) => {
      const mine = this.placed.filter((mark) => mark.event.band === band);
      const lanes = [];
      mine.forEach((mark) => this.placeMark(mark, lanes));
      return { name, mine, lanes: lanes.length, shown: band === "rule" ? lanes.length : 0 };
    }).filter((band) => band.lanes);
    const rules = bands.reduce((sum, band) => sum + band.shown, 0);
    for (let left = Math.max(LEAST_LANES, MOST_LANES - rules); left > 0;) {
      const waiting = bands.filter((band) => band.shown < band.lanes).slice(0, left);
      if (!waiting.length) break;
      waiting.forEach((band) => { band.shown += 1; });
      left -= waiting.length;
    }
    return bands;
  }

  /* The label goes right of the span, else left of it, else over it after the tick. A date has
     no span to lie over: its label is cut to the roomier side. */
  placeMark(mark, lanes) {
    const { event } = mark;
    const late = event.last === null ? this.width : xOfYear(event.last, this.width);
    Object.assign(mark, { x: xOfYear(event.year, this.width), early: xOfYear(event.first, this.width), late });
    if (this.shapesOnly) mark.early = mark.late = mark.x;
    if (event.first === event.last) mark.width = Math.min(mark.width, Math.max(this.width - mark.x, mark.x) - 8);
    const { width } = mark;
    const right = mark.late + width + 8 <= this.width;
    const left = !right && mark.early - width - 6 >= 0;
    mark.side = this.shapes ? "none" : right ? "right" : left ? "left" : "over";
    let [from, to] = [Math.min(mark.early, mark.x - 12), Math.max(mark.late, mark.x + 12)];
    if (mark.side === "right") to = mark.late + width + 8;
    if (mark.side === "left") from = mark.early - width - 6;
    if (mark.side === "over") {
      mark.at = Math.max(0, Math.min(mark.x + 5, this.width - width));
      from = Math.min(from, mark.at);
      to = Math.max(to, mark.at + width);
    }
    let lane = 0;
    while (lanes[lane] && lanes[lane].some(([a, b]) => from < b + 8 && to > a - 8)) lane += 1;
    (lanes[lane] = lanes[lane] || []).push([from, to]);
    mark.lane = lane;
  }

  drawMark(mark, art) {
    const { event, x, early, late, y, button, width } = mark;
    const fixed = this.shapesOnly || event.last === event.first;
    mark.art = shape("g", {}, art);
    if (!fixed) {
      mark.span = shape("rect", { x: early, y: y - 4, width: Math.max(2, late - early), height: 8, rx: 4, class: "span" }, mark.art);
      if (event.last === null) shape("path", { d: `M${late - 1} ${y - 4}v8`, class: "open" }, mark.art);
      if (!this.shapes) shape("rect", { x: x - 1.5, y: y - 8, width: 3, height: 16, fill: BAND_COLOUR[event.band] }, mark.art);
    }
    button.style.top = `${y - 12}px`;
    if (!this.shapes) button.style.maxWidth = `${width}px`;
    if (mark.side === "none") button.style.left = `${x - 12}px`;
    else if (mark.side === "over") button.style.left = `${mark.at}px`;
    else if (mark.side === "left") {
      button.classList.add("left");
      button.style.left = `${fixed ? x - width + 10 : early - width - 2}px`;
    } else button.style.left = `${fixed ? x - 10 : late + 3}px`;
  }

  layoutGroove() {
    const { grooveArt: art, crowns, width } = this;
    const height = this.groove.clientHeight;
    const middle = height / 2;
    art.replaceChildren();
    const most = Math.max(...crowns.high, 1e-9);
    const half = (values, year) => (2.5 + 22 * atYear(values, year) / most) / 2;
    const outline = (values) => {
      const years = Array.from({ length: 61 }, (_, i) => i / 2);
      const over = years.map((t) => `${xOfYear(t, width)} ${middle - half(values, t)}`);
      const under = years.map((t) => `${xOfYear(t, width)} ${middle + half(values, t)}`).reverse();
      return `M${[...over, ...under].join("L")}Z`;
    };
    shape("path", { d: outline(crowns.high), class: "fast" }, art);
    shape("path", { d: outline(crowns.low), class: "slow" }, art);
    const clip = shape("clipPath", { id: "past" }, art);
    this.past = shape("rect", { x: 0, y: 0, width: 0, height }, clip);
    shape("path", { d: outline(crowns.expected), fill: "var(--leaf)", "clip-path": "url(#past)" }, art);
    for (let year = 0; year <= LAST_YEAR; year += 1) {
      const x = xOfYear(year, width);
      shape("line", { x1: x, x2: x, y1: height - (year % 5 ? 4 : 7), y2: height, class: "edge" }, art);
    }
  }

  /* One step: writes only what the year changes. Events after `told` are not told yet. */
  show(year, told = LAST_YEAR) {
    if (Number(this.slider.value) !== year) this.slider.value = year;
    this.past.setAttribute("width", xOfYear(year, this.width));
    this.changes.when("stop", STOPS.indexOf(year), (at) => {
      this.stops.forEach((stop, i) => stop.setAttribute("aria-pressed", String(i === at)));
    });
    this.changes.when("told", this.events.filter((event) => event.year <= told).length, (count) => {
      [...this.list.children].forEach((item, i) => { item.hidden = i >= count; });
    });
    this.placed.forEach((mark, i) => this.showMark(mark, i, year, told));
  }

  showMark({ event, button, span, art }, i, year, told) {
    const last = event.last === null ? LAST_YEAR : event.last;
    const inside = Boolean(span) && event.first <= year && year <= last;
    const state = (event.year <= year ? 1 : 0) + (event.year === year ? 2 : 0) + (inside ? 4 : 0) + (event.year > told ? 8 : 0);
    this.changes.when(i, state, () => {
      button.style.visibility = art.style.visibility = state & 8 ? "hidden" : "";
      button.classList.toggle("past", event.year <= year);
      button.classList.toggle("here", event.year === year);
      if (span) span.style.fill = inside ? `color-mix(in srgb, ${BAND_COLOUR[event.band]} 55%, var(--ground))` : "";
    });
  }

  walkMarks(key) {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[key.key];
    const buttons = this.placed.map((mark) => mark.button).filter((button) => button.style.visibility !== "hidden");
    const from = buttons.indexOf(key.target);
    if (!step || from < 0) return;
    key.preventDefault();
    const to = Math.min(buttons.length - 1, Math.max(0, from + step));
    buttons[from].tabIndex = -1;
    buttons[to].tabIndex = 0;
    buttons[to].focus();
  }
}
