/* Month and hour of the picture. The month strip is as high as the leaf of the yard's crowns in that
   month of the year shown; the hour groove is as high as the sun, and ends where it rises and sets.
   Needs daylight.js before it. */

const START_HOUR = 15.5; // the sun well up, on the side where shadows tell the ground
const LEAST_BAR = 0.08;
const HOUR_THUMB_PX = 16;
const HIGHEST_DEG = 90;
const GROOVE_PX = 34; // from the horizon up
const HORIZON_PX = 40;
const MOST_FLOWERS = 3;
const WINDS = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
const SEASON_WORDS = { leaf: "in leaf", bare: "bare" };

class Moment {
  /* parts: months and suns; `shown` is called when another month or hour is picked. */
  constructor(parts, shown) {
    this.shown = shown;
    this.changes = new Changes();
    this.take(parts);
    this.month = this.months.usual.leaf ?? 5;
    this.hour = this.wanted = this.daylight.nearest(this.month, START_HOUR);
    this.makeMonths();
    this.makeHour();
    this.nodes = [this.monthNode, this.hourNode];
    this.tell();
  }

  take({ months, suns }) {
    this.months = months;
    this.daylight = new Daylight(suns);
  }

  /* The same month and hour of what was read again. */
  again(parts) {
    this.take(parts);
    this.changes = new Changes();
    this.radios.forEach((label, i) => label.replaceWith((this.radios[i] = this.makeRadio(i))));
    this.grow(this.year);
    this.pick(this.month, this.wanted);
  }

  get season() {
    return this.months.seasons[this.month];
  }

  /* "June, in leaf" */
  words(month = this.month) {
    const turning = this.months.turning[month] ? ", autumn colour" : "";
    return `${this.months.names[month]}${turning}, ${SEASON_WORDS[this.months.seasons[month]]}`;
  }

  makeMonths() {
    this.monthWords = tag("output");
    this.flowers = tag("p", { class: "quiet" });
    this.radios = this.months.names.map((_, i) => this.makeRadio(i));
    this.monthNode = tag("fieldset", { class: "month" },
      tag("legend", {}, "Month ", this.monthWords), tag("div", { class: "months" }, ...this.radios), this.flowers);
  }

  makeRadio(i) {
    const { names, seasons, turning } = this.months;
    const input = tag("input", { type: "radio", name: "month", value: i + 1, "aria-label": this.words(i) });
    input.checked = i === this.month;
    input.addEventListener("change", () => this.pick(i, this.wanted));
    const look = seasons[i] === "bare" ? "without" : turning[i] ? "turning" : "";
    return tag("label", { class: look }, input, tag("i"), tag("span", { "aria-hidden": "true" }, names[i][0]));
  }

  makeHour() {
    this.hourWords = tag("output", { for: "hour" });
    this.slider = tag("input", { type: "range", id: "hour", step: this.daylight.suns.step });
    this.slider.addEventListener("input", () => this.pick(this.month, Number(this.slider.value)));
    this.art = shape("svg", { "aria-hidden": "true" });
    this.note = tag("p", { class: "quiet" });
    this.hourNode = tag("div", { class: "hourly" },
      tag("div", { class: "cap" }, tag("label", { for: "hour" }, "Hour"), " ", this.hourWords),
      tag("div", { class: "hour" }, this.art, this.slider), this.note);
  }

  pick(month, hour) {
    this.wanted = hour;
    this.month = month;
    this.hour = this.daylight.nearest(month, hour);
    this.radios[month].firstElementChild.checked = true;
    this.tell();
    this.shown();
  }

  /* A month of a season; the one shown stays where it is of it, or the yard's year has none. */
  toSeason(season) {
    const usual = this.months.usual[season];
    if (season !== this.season && usual !== undefined) this.pick(usual, this.wanted);
  }

  /* Strip of a year's leaf. */
  grow(year) {
    this.year = year;
    const { leaf } = this.months;
    const row = 12 * Math.min(Math.floor(year), leaf.length / 12 - 1);
    this.radios.forEach((label, i) => {
      const high = Math.round(100 * Math.max(leaf[row + i], LEAST_BAR));
      this.changes.when(`bar${i}`, high, () => { label.children[1].style.setProperty("--share", high / 100); });
    });
  }

  tell() {
    const { month, hour, months, daylight } = this;
    const names = months.flowers[month];
    const more = names.length > MOST_FLOWERS ? ` and ${names.length - MOST_FLOWERS} more` : "";
    this.monthWords.textContent = this.words();
    this.flowers.textContent = names.length ? `In flower: ${names.slice(0, MOST_FLOWERS).join(", ")}${more}` : "Nothing in flower";
    const { up, height, azimuth } = daylight.at(month, hour);
    const high = Math.max(0, Math.round(height));
    const from = WINDS[Math.round(azimuth / 45) % 8];
    this.hourWords.textContent = up ? `${clock(hour)}, sun ${high}° high in the ${from}` : "the sun does not rise";
    this.slider.disabled = !up;
    [this.slider.min, this.slider.max] = daylight.hours(month);
    this.slider.value = hour;
    this.slider.setAttribute("aria-valuetext", up ? `${clock(hour)} solar time, sun ${high} degrees high in the ${from}` : "The sun does not rise");
    this.note.textContent = `${this.dayWords()} Mean solar time (sun highest about 12); clocks differ. ${daylight.suns.assumed}`.trim();
    this.layout();
  }

  dayWords() {
    const { rise, set, up } = this.daylight.suns.months[this.month];
    if (!up) return "";
    return rise === 0 && set === 24 ? "The sun does not set." : `Sunrise ${clock(rise)}, sunset ${clock(set)}.`;
  }

  /* The groove at its present width: the day of the month on an axis that has room for all months. */
  layout() {
    const wide = this.art.clientWidth;
    if (!wide) return;
    const { daylight, month } = this;
    const ends = this.months.names.map((_, m) => daylight.hours(m));
    const [early, late] = [Math.min(...ends.map((e) => e[0])), Math.max(...ends.map((e) => e[1]))];
    const x = (hour) => HOUR_THUMB_PX / 2 + ((hour - early) / Math.max(late - early, 1)) * (wide - HOUR_THUMB_PX);
    const [first, last] = ends[month];
    const { height } = daylight.suns.months[month];
    const y = (deg) => (HORIZON_PX - (Math.max(deg, 0) / HIGHEST_DEG) * GROOVE_PX).toFixed(1);
    const course = Array.from(height, (deg, n) => `${x(first + n * daylight.suns.step).toFixed(1)} ${y(deg)}`);
    this.art.replaceChildren();
    shape("path", { d: `M0 ${HORIZON_PX}H${wide}`, class: "edge" }, this.art);
    if (course.length > 1) shape("path", { d: `M${x(first)} ${HORIZON_PX}L${course.join("L")}L${x(last)} ${HORIZON_PX}Z`, class: "day" }, this.art);
    const at = Math.round((this.hour - first) / daylight.suns.step);
    shape("circle", { cx: x(this.hour), cy: y(height[at]), r: 5, class: "sunball" }, this.art);
    this.slider.style.left = `${x(first) - HOUR_THUMB_PX / 2}px`;
    this.slider.style.width = `${x(last) - x(first) + HOUR_THUMB_PX}px`;
  }
}

/* "9:05" of an hour. */
function clock(hour) {
  const minutes = Math.round(60 * hour);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
}
