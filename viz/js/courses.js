/* Courses of plants from whole numbers, who overtakes whom and when, and lengths in words.
   Order of the series as sent: low, expected and high height, the same of spread, crown base. */

const SERIES_COUNT = 7;
const YEAR_COUNT = LAST_YEAR + 1;
const ALIKE_M = 0.005; // heights that differ by less are the same: nobody is above

/* The course of number `index`: ranges of height and spread, and the crown base, in metres. */
function courseOf({ counts, step }, index) {
  const series = (i) => {
    const from = (index * SERIES_COUNT + i) * YEAR_COUNT;
    return Array.from(counts.slice(from, from + YEAR_COUNT), (count) => count * step[index]);
  };
  const range = (i) => ({ low: series(i), expected: series(i + 1), high: series(i + 2) });
  return { height: range(0), spread: range(3), base: series(6) };
}

/* Low, expected and high of a range at a year with a fraction. */
function rangeAt(range, year) {
  return [range.low, range.expected, range.high].map((values) => atYear(values, year));
}

/* The 10th and 90th percentile of how far `one` is above `other` in a year. The two do well or
   badly independently: half widths add as the sides of a right angle (exact for normal ones). */
function lead(one, other, year) {
  const by = one.expected[year] - other.expected[year];
  const down = Math.hypot(one.expected[year] - one.low[year], other.high[year] - other.expected[year]);
  const up = Math.hypot(one.high[year] - one.expected[year], other.expected[year] - other.low[year]);
  return [by - down, by + up];
}

/* The whole years in which `one` comes to be above `other`, each as { first, year, last }:
   at the earliest, expected, and at the latest (null = after the last year). */
function passings(one, other) {
  const found = [];
  let below = false;
  for (let year = 0; year < one.expected.length; year += 1) {
    const by = one.expected[year] - other.expected[year];
    if (Math.abs(by) < ALIKE_M) continue;
    if (below && by > 0) found.push(passingAt(one, other, year));
    below = by < 0;
  }
  return found;
}

function passingAt(one, other, year) {
  let first = year;
  while (first > 1 && lead(one, other, first - 1)[1] > 0) first -= 1;
  let last = year;
  while (last < one.expected.length && lead(one, other, last)[0] <= 0) last += 1;
  return { first, year, last: last < one.expected.length ? last : null };
}

/* Who passes whom among `runners` (label, the same inside a sentence, course), as events in the order of years. */
function passEvents(runners) {
  const events = [];
  for (const one of runners) {
    for (const other of runners) {
      if (one === other) continue;
      for (const years of passings(one.course.height, other.course.height)) {
        const title = `${one.label} passes ${other.inner}`;
        events.push({ band: "passes", title, sentence: `${title}.`, squares: "", ...years });
      }
    }
  }
  return events.sort((a, b) => a.year - b.year || a.first - b.first);
}

/* Area of all crowns together by year, square metres; the plants vary independently. */
function crownAreas(courses) {
  const area = (spread) => (Math.PI / 4) * spread * spread;
  const years = Array.from({ length: YEAR_COUNT }, (_, year) => year);
  const sum = (year, of) => courses.reduce((total, { spread }) => total + of(spread, year), 0);
  const expected = years.map((year) => sum(year, (s) => area(s.expected[year])));
  const off = (end) => years.map((year) => Math.sqrt(sum(year, (s) => (area(s[end][year]) - area(s.expected[year])) ** 2)));
  const [down, up] = [off("low"), off("high")];
  return { low: expected.map((a, i) => a - down[i]), expected, high: expected.map((a, i) => a + up[i]) };
}

/* Even steps from zero: the step and the top for a scale that holds `most`, at most five steps. */
function evenScale(most) {
  const size = 10 ** Math.floor(Math.log10(Math.max(most, 1e-6) / 5));
  const step = [1, 2, 5, 10].map((n) => n * size).find((s) => most / s <= 5);
  return { step, top: Math.max(1, Math.ceil(most / step - 1e-9)) * step };
}

/* Lengths in the page's unit; small ones in inches or with two decimals, all of a range alike. */
class Lengths {
  constructor(unit, unitM) {
    this.unit = unit;
    this.unitM = unitM;
  }

  /* Numbers and the unit they are in, for one or more lengths in metres; the middle one decides. */
  words(...lengths) {
    const feet = this.unit === "ft";
    const deciding = lengths[Math.floor(lengths.length / 2)] / this.unitM;
    if (feet && deciding < 2) return { unit: "in", numbers: lengths.map((m) => (m / this.unitM * 12).toFixed(0)) };
    const digits = deciding >= 30 ? 0 : !feet && deciding < 1 ? 2 : 1;
    return { unit: this.unit, numbers: lengths.map((m) => (m / this.unitM).toFixed(digits)) };
  }

  one(length) {
    const { unit, numbers } = this.words(length);
    return `${numbers[0]}\u00a0${unit}`;
  }

  /* ["9.5 ft", "8.0–11.2"]; the range is empty where all three read alike. */
  range([low, expected, high]) {
    const { unit, numbers } = this.words(low, expected, high);
    const span = numbers[0] === numbers[2] ? "" : `${numbers[0]}–${numbers[2]}`;
    return [`${numbers[1]}\u00a0${unit}`, span];
  }

  span(low, high) {
    const { unit, numbers } = this.words(low, high);
    return numbers[0] === numbers[1] ? `${numbers[0]}\u00a0${unit}` : `${numbers[0]}–${numbers[1]}\u00a0${unit}`;
  }
}
