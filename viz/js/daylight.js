/* The light of a month and an hour, as Python reckoned it (viz/suns.py), and the sky it makes. */

class Daylight {
  constructor(suns) {
    this.suns = suns;
  }

  /* First and last hour there is a row for. */
  hours(month) {
    const { first, height } = this.suns.months[month];
    return [first, first + (height.length - 1) * this.suns.step];
  }

  /* The hour nearest to one, at which the sun is up. */
  nearest(month, hour) {
    const [first, last] = this.hours(month);
    return Math.min(Math.max(hour, first), last);
  }

  /* Light at an hour of a month (0-11): where the sun is, what it sends, what the ground gets. */
  at(month, hour) {
    const sun = this.suns.months[month];
    const row = Math.round((this.nearest(month, hour) - sun.first) / this.suns.step);
    const three = (name) => Array.from(sun[name].subarray(3 * row, 3 * row + 3));
    return {
      up: sun.up,
      height: sun.height[row],
      azimuth: sun.azimuth[row],
      exposure: sun.exposure[row],
      ...Object.fromEntries(["towards", "sun", "sky", "bounce", "lit", "dull"].map((name) => [name, three(name)])),
    };
  }
}

const HIGH_SKY = [95, 147, 205];
const MIDDLE_SKY = [157, 191, 224];
const LOW_SKY = [219, 229, 234];
const WARM = [1.06, 0.9, 0.72]; // the low sky round sunrise and sunset, times its colour by day
const WARM_BELOW_DEG = 12;

/* Colours of the sky down to the horizon, which lies at a percentage of the picture's height. */
function sky(horizon, { lit, height }) {
  const bright = Math.min(1, 0.35 + 0.65 * Math.max(...lit));
  const warm = Math.min(Math.max(1 - height / WARM_BELOW_DEG, 0), 1);
  const colour = (rgb, share) => `rgb(${rgb.map((value, k) =>
    Math.round(Math.min(255, value * bright * (1 + share * warm * (WARM[k] - 1))))).join(" ")})`;
  return [[colour(HIGH_SKY, 0.1), horizon - 110], [colour(MIDDLE_SKY, 0.5), horizon - 38], [colour(LOW_SKY, 1), horizon]];
}
