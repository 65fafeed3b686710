/* The register of ground layers: name, what it shows, how it is painted, its key and its labels.
   A layer is offered where the yard has what it shows. Colours and patterns are those of its key. */

const CUT_TONES = ["#BBD0EA", "#7BA3D4", "#2F63A8"].map((colour) => ({ colour, pattern: "lines", over: "#123262" }));
const FILL_TONES = ["#F8E3C0", "#E9B872", "#B97A2E"].map((colour) => ({ colour }));

const LAYERS = {
  none: {
    name: "Nothing",
    note: "the yard as it looks",
    sample: [],
    offered: () => true,
    paint: () => {},
    key: () => [],
  },
  earth: {
    name: "Cut and fill",
    note: "ground taken away, ground added",
    sample: [CUT_TONES[1], FILL_TONES[1]],
    offered: () => true,
    paint: (overlay) => {
      const { earth, rise } = overlay.field;
      paintTones(overlay, rise, [...CUT_TONES, ...FILL_TONES], (value) => earthTone(value, earth));
    },
    key: (field) => earthKey(field),
  },
};

/* Place of a rise among the tones of cut, then of fill; -1 where nothing moves. */
function earthTone(rise, { least_m: least, steps_m: steps }) {
  const deep = Math.abs(rise);
  if (deep <= least) return -1;
  return (rise > 0 ? CUT_TONES.length : 0) + steps.filter((step) => deep >= step).length;
}

function earthKey({ earth, unit, moved }) {
  if (!moved) return [{ words: "No ground is moved in this yard." }];
  const length = (metres) => tidy(metres / unit.metres);
  const [soil, cubic] = unit.name === "ft" ? ["cu yd", 0.9144 ** 3] : ["m³", 1];
  const volume = (m3) => `${(m3 / cubic).toFixed(m3 / cubic < 10 ? 1 : 0)} ${soil}`;
  const edges = [0, ...earth.steps_m];
  const rows = (tones, deepest) => edges.map((from, n) => ({ from, to: edges[n + 1], tone: tones[n] }))
    .filter(({ from }) => deepest > Math.max(from, earth.least_m))
    .map(({ from, to, tone }) => ({ tone, words: to ? `${from ? length(from) : "0"} to ${length(to)} ${unit.name}` : `over ${length(from)} ${unit.name}` }))
    .reverse();
  return [
    { words: `Cut: ${volume(earth.cut_m3)}`, strong: true },
    ...rows(CUT_TONES, earth.deepest_m),
    { words: `Fill: ${volume(earth.fill_m3)}`, strong: true },
    ...rows(FILL_TONES, earth.highest_m),
    { words: "bank measure, inside the lot" },
  ];
}
