/* The rows of figures under the years: each course drawn with its range and gates, and its
   figures in the year shown. The rows themselves stand in the page; colours are its tokens. */

const ROW_TOP_PX = 7; // above the line of the highest value
const ROW_BOTTOM_PX = 5; // below the line of zero
const CAP_PX = 5; // half of a gate's cap

class Rows {
  constructor(rows) {
    this.changes = new Changes();
    this.rows = rows.map((row) => ({ ...row, node: document.getElementById(row.id), art: shape("svg", {}) }));
    this.rows.forEach(({ node, art }) => node.append(art));
    this.values = rows.flatMap((row) => row.courses).map((course) => {
      const node = document.getElementById(course.id);
      return { ...course, node, figure: node.querySelector("b"), range: node.querySelector(".range") };
    });
  }

  /* Draws every row anew for its present width. */
  layout() {
    for (const row of this.rows) {
      row.width = row.node.clientWidth;
      row.height = row.node.clientHeight;
      row.art.setAttribute("viewBox", `0 0 ${row.width} ${row.height}`);
      row.art.replaceChildren();
      this.drawLines(row);
      row.courses.forEach((course) => this.drawCourse(row, course));
      if (this.others) row.courses.forEach((course) => this.drawOther(row, this.others[course.id]));
      row.gates.forEach((gate) => this.drawGate(row, gate));
    }
  }

  y(row, share) {
    return row.height - ROW_BOTTOM_PX - (share / row.top) * (row.height - ROW_TOP_PX - ROW_BOTTOM_PX);
  }

  /* A course by years as points "x y" of a row. */
  points(row, values) {
    return values.map((share, year) => `${xOfYear(year, row.width).toFixed(1)} ${this.y(row, share).toFixed(1)}`);
  }

  drawLines(row) {
    const [x1, x2] = [xOfYear(0, row.width), xOfYear(LAST_YEAR, row.width)];
    for (const [share, look] of [[0, "edge"], [row.top, "hair"]]) {
      const y = this.y(row, share);
      shape("line", { x1, x2, y1: y, y2: y, class: look }, row.art);
    }
  }

  drawCourse(row, { season, low, expected, high }) {
    const points = (values) => this.points(row, values);
    const band = shape("path", { d: `M${[...points(high), ...points(low).reverse()].join("L")}Z`, class: `range ${season}` }, row.art);
    if (season === "bare") band.setAttribute("fill", `url(#${this.hatch(row)})`);
    for (const end of [low, high]) shape("path", { d: `M${points(end).join("L")}`, class: `end ${season}` }, row.art);
    shape("path", { d: `M${points(expected).join("L")}`, class: `course ${season}` }, row.art);
  }

  /* The course of another yard, dashed over that of the first. */
  drawOther(row, course) {
    if (!course) return;
    shape("path", { d: `M${this.points(row, course.expected).join("L")}`, class: "course other" }, row.art);
  }

  /* Courses of another yard by the ids of the first one's, to be drawn by the next layout. */
  beside(courses) {
    this.others = courses;
  }

  /* Slanted lines, told from the fill of the other season without colour. */
  hatch(row) {
    const id = `hatch-${row.id}`;
    const pattern = shape("pattern", { id, width: 5, height: 5, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, row.art);
    shape("line", { x1: 0.5, x2: 0.5, y1: 0, y2: 5, class: "hatch" }, pattern);
    return id;
  }

  /* A post from the limit to the side that meets it, on a halo. */
  drawGate(row, { year, limit, at_least: atLeast }) {
    const [from, to] = (atLeast ? [limit, row.top] : [0, limit]).map((share) => this.y(row, share));
    const x = xOfYear(year, row.width);
    const d = `M${x} ${from}V${to}M${x - CAP_PX} ${from}h${2 * CAP_PX}M${x - CAP_PX} ${to}h${2 * CAP_PX}`;
    for (const look of ["halo", "gate"]) shape("path", { d, class: look }, row.art);
  }

  show(year) {
    for (const course of this.values) this.write(course, year, "");
  }

  /* The figures of a second year, or of another yard, beside those of the first; null takes them away. */
  compare(year) {
    for (const course of this.values) {
      if (year === null) course.other?.node.remove();
      course.other = year === null ? null : course.other ?? secondOf(course);
      const told = this.others ? this.others[course.id] : course;
      if (course.other && told) this.write({ ...told, id: course.id, ...course.other }, year, "other ");
      else if (course.other) course.other.figure.textContent = "–";
    }
    if (year === null) this.changes = new Changes();
  }

  write({ id, low, expected, high, figure, range }, year, which) {
    const [least, likely, most] = [low, expected, high].map((values) => Math.round(100 * atYear(values, year)));
    const words = least === most ? "range under 1" : `${least}–${most}`;
    this.changes.when(which + id, `${likely}/${words}`, () => {
      figure.textContent = `${likely}\u00a0%`;
      range.textContent = words;
    });
  }
}

/* Places for the figures of a second year, after those of the first. */
function secondOf({ range: before }) {
  const [figure, range] = [tag("b"), tag("span", { class: "range" })];
  const second = tag("span", { class: "second" }, tag("span", { class: "unseen" }, "; beside it "), figure, " ", range);
  before.after(second);
  return { figure, range, node: second };
}
