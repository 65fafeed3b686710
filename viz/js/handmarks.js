/* The plants of the plan: one mark each, a crown at its spread and a foot. A mark that is moved
   is the only thing written to while it is moved. */

const FOOT_REACH_PX = { mouse: 9, touch: 20 };

class Marks {
  constructor(sheet) {
    this.sheet = sheet;
    this.nodes = [];
  }

  draw(data) {
    this.data = data;
    const { plants, kinds, tables } = data;
    const order = [...plants.x.keys()].sort((a, b) => this.mature(b) - this.mature(a));
    this.nodes = new Array(order.length);
    this.sheet.plants.replaceChildren(...order.map((i) => {
      const node = shape("g", { class: tables[plants.table[i]].kept ? "plant kept" : "plant", "data-plant": i });
      node.style.color = kinds[plants.kind[i]].colour;
      shape("circle", { class: "crown" }, node);
      shape("circle", { class: "foot" }, node);
      this.nodes[i] = node;
      this.at(i, 0, 0);
      return node;
    }));
  }

  mature(i) {
    const { plants, kinds, spreads } = this.data;
    const last = spreads.expected[(plants.course[i] + 1) * spreads.years - 1];
    return this.data.tables[plants.table[i]].kept ? Math.max(last, kinds[plants.kind[i]].mature) : kinds[plants.kind[i]].mature;
  }

  spread(i, year, end = "expected") {
    const { plants, spreads } = this.data;
    return spreads[end][plants.course[i] * spreads.years + year];
  }

  /* Crowns of a year, or mature ones where the year is null. */
  size(year) {
    this.nodes.forEach((node, i) => {
      const metres = year === null ? this.mature(i) : this.spread(i, year);
      node.firstChild.setAttribute("r", (metres / 2).toFixed(3));
    });
    this.year = year;
  }

  /* A plant shown some metres from its place. */
  at(i, dx, dy) {
    const { x, y } = this.data.plants;
    this.nodes[i].setAttribute("transform", `translate(${(x[i] + dx).toFixed(3)} ${(y[i] + dy).toFixed(3)})`);
  }

  choose(chosen) {
    for (const node of this.sheet.plants.querySelectorAll(".chosen")) node.classList.remove("chosen");
    for (const i of chosen) this.nodes[i].classList.add("chosen");
  }

  place(i) { return [this.data.plants.x[i], this.data.plants.y[i]]; }

  /* The plants whose feet are within reach of a place, and how far off they are. */
  feetAt(x, y, touch) {
    const { plants } = this.data;
    const reach = (touch ? FOOT_REACH_PX.touch : FOOT_REACH_PX.mouse) / this.sheet.scale;
    const feet = [];
    for (let plant = 0; plant < plants.x.length; plant++) {
      const away = Math.hypot(plants.x[plant] - x, plants.y[plant] - y);
      if (away < reach) feet.push({ plant, away });
    }
    return feet;
  }

  /* The plant of the smallest crown over a place; -1 for none. */
  crownOver(x, y) {
    const { plants } = this.data;
    let [crown, least] = [-1, Infinity];
    for (let i = 0; i < plants.x.length; i++) {
      const radius = (this.year === null ? this.mature(i) : this.spread(i, this.year)) / 2;
      if (radius < least && Math.hypot(plants.x[i] - x, plants.y[i] - y) < radius) [crown, least] = [i, radius];
    }
    return crown;
  }
}

/* The chosen plants as edits name them: table by table, whole tables without numbers. A fill has
   no places of its own, so that its plants are `placed` elsewhere by their numbers alone. */
function tablesOf(data, chosen, placed) {
  const { plants, tables } = data;
  const named = new Map();
  for (const i of chosen) {
    const table = plants.table[i];
    if (!named.has(table)) named.set(table, []);
    named.get(table).push(plants.number[i]);
  }
  return [...named].map(([table, numbers]) => {
    const all = countOf(data, table);
    const whole = numbers.length === all && all > 1 && !(placed && tables[table].how.startsWith("filling"));
    const of = { of: tables[table].place };
    return whole ? of : { ...of, plants: numbers.sort((a, b) => a - b) };
  });
}

function plantsOf(data, table) { return [...data.plants.x.keys()].filter((i) => data.plants.table[i] === table); }

function countOf(data, table) {
  let count = 0;
  for (const each of data.plants.table) if (each === table) count += 1;
  return count;
}

/* One edit of all tables, or one for each of them together. */
function editOf(named, rest) {
  const edits = named.map((of) => ({ ...rest, ...of }));
  return edits.length === 1 ? edits[0] : { do: "together", edits };
}

/* Where a place lies mirrored across a line. */
function mirroredAt([[x0, y0], [x1, y1]]) {
  const [dx, dy] = [x1 - x0, y1 - y0];
  return ([x, y]) => {
    const along = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy);
    return [2 * (x0 + along * dx) - x, 2 * (y0 + along * dy) - y];
  };
}
