/* The register of ground layers: name, what it shows, how it is painted, its key and its labels.
   A layer is offered where the yard has what it shows. Colours and patterns are those of its key. */

const CUT_TONES = ["#BBD0EA", "#7BA3D4", "#2F63A8"].map((colour) => ({ colour, pattern: "lines", over: "#123262" }));
const FILL_TONES = ["#F8E3C0", "#E9B872", "#B97A2E"].map((colour) => ({ colour }));

const TIERS = [
  [{ colour: "#C9DDEB" }, "as desired"],
  [{ colour: "#DAD2EE", pattern: "dots", over: "#3B2A80" }, "flatter than desired"],
  [{ colour: "#DAD2EE", pattern: "lines", over: "#3B2A80" }, "too flat: water may stand"],
  [{ colour: "#F3D9CB", pattern: "dots", over: "#7A2A08" }, "steeper than desired"],
  [{ colour: "#F3D9CB", pattern: "slant", over: "#7A2A08" }, "too steep"],
]; // in the order of the tiers in viz/slopelayer.py, from 1
const POND = { colour: "#8FD0E0", pattern: "lines", over: "#0B4A66" };
const STREAM = "#0B4A66";
const CARE = { colour: "#EBD3A4" };
const LOST_ROOTS = { colour: "#EBD3A4", pattern: "slant", over: "#6A3500" };
const NO_DIGGING = { colour: "#6A3500" };

const CLOSING = [
  { colour: "#0B3C49" },
  { colour: "#1F6F78", pattern: "dots", over: "#8FCBD0" },
  { colour: "#5BA08C", pattern: "lines", over: "#17433A" },
  { colour: "#A9CC94" },
  { colour: "#EEF2B5", pattern: "dots", over: "#6B6F1E" },
  { colour: "#FAFBFA", pattern: "slant", over: "#14201B" },
]; // in the order of the classes in viz/closinglayer.py; neighbours differ in pattern too

/* `planned`: the layer tells of the proposed ground alone; `ask`: gets what the page does not hold. */
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
  slope: {
    name: "Slope",
    note: "within the usual limits or beyond",
    sample: [TIERS[0][0], TIERS[4][0]],
    planned: true,
    offered: () => true,
    paint: (overlay) => paintTones(overlay, overlay.field.slope.tier, TIERS.map(([tone]) => tone), (tier) => tier - 1, { nearest: true }),
    key: ({ slope }) => [
      ...TIERS.filter((_, n) => slope.tier.includes(n + 1)).map(([tone, words]) => ({ tone, words })),
      { words: "usual limits of each kind of place; your code governs" },
    ],
    labels: ({ slope }) => chips(slope.labels),
  },
  water: {
    name: "Water",
    note: "where it runs, where it stands",
    sample: [{ colour: "#FAFBFA" }, POND],
    planned: true,
    offered: () => true,
    paint: (overlay) => {
      const { depth, least_m: least, paths } = overlay.field.water;
      paintTones(overlay, depth, [POND], (millimetres) => (millimetres / 1000 >= least ? 0 : -1));
      for (const { points, wide } of paths) strokeArrows(overlay, points, { width: wide ? 8 : 4, colour: STREAM });
    },
    key: ({ water }) => [
      { line: { stroke: "#8FD0E0", width: 2 }, words: "water gathers and runs" },
      { line: { stroke: "#8FD0E0", width: 4 }, words: "much water" },
      ...(water.labels.some(({ text }) => text.startsWith("stands")) ? [{ tone: POND, words: "water stands when full" }] : []),
      { words: "rain on the ground alone; roofs and soaking in are left out" },
    ],
    labels: ({ water }) => chips(water.labels),
  },
  closing: {
    name: "Beds closing",
    note: "the year each spot is covered",
    sample: [CLOSING[0], CLOSING[2], CLOSING[4]],
    planned: true,
    offered: ({ closing }) => closing.beds.length > 0,
    paint: (overlay) => paintAreas(overlay, overlay.field.closing.beds, CLOSING),
    key: ({ closing }) => closingKey(closing),
    labels: ({ closing }) => chips(closing.labels),
  },
  sun: {
    name: "Sun",
    note: "hours of direct sun a day",
    sample: [SUNNY[0], SUNNY[2], SUNNY[4]],
    planned: true,
    offered: ({ sunlit }) => sunlit,
    ask: ({ sun }) => sun.ask(),
    paint: (overlay, year) => overlay.field.sun.paint(overlay, year),
    key: ({ sun }, year) => sun.key(year),
  },
  roots: {
    name: "Roots",
    note: "where to dig with care, where not at all",
    sample: [CARE, NO_DIGGING],
    offered: ({ roots }) => roots.zones.length > 0,
    paint: (overlay) => {
      for (const { zone, lost, inner } of overlay.field.roots.zones) {
        fillArea(overlay, zone, CARE, { dash: [14, 10] });
        fillArea(overlay, lost, LOST_ROOTS);
        fillArea(overlay, inner, NO_DIGGING);
      }
    },
    key: ({ roots }) => [
      { tone: CARE, words: `root zone, ${roots.rule}: dig with care` },
      ...(roots.zones.some(({ lost }) => lost.length) ? [{ tone: LOST_ROOTS, words: "lost to cut, fill, paving or digging" }] : []),
      { tone: NO_DIGGING, words: "within 6 trunk diameters: do not dig" },
    ],
    labels: ({ roots }) => chips(roots.labels),
  },
};

const chips = (labels) => labels.map((label) => ({ ...label, kind: "chip" }));

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
  const volume = (m3) => (m3 ? `${(m3 / cubic).toFixed(m3 / cubic < 10 ? 1 : 0)} ${soil}` : "none");
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

/* Only classes that some bed has, each with its share of the area of all beds. */
function closingKey({ until, shares }) {
  const last = until.length - 1;
  const words = (n) => (n > last ? `not by year ${until[last]}` : `year ${n ? until[n - 1] + 1 : 0} to ${until[n]}`);
  const share = (part) => (part < 0.005 ? "under 1 %" : `${(100 * part).toFixed(0)} %`);
  return [
    ...shares.map((part, n) => ({ part, tone: CLOSING[n], words: `${words(n)}: ${share(part)}` })).filter(({ part }) => part > 0),
    { words: "expected growth; shares of all beds. A bed is closed at 95 %." },
  ];
}
