/* Choosing plants: those that race, each with its size at planting, and a search through all
   others. Every word written must be found in a plant's name, kind or use. */

const MOST_RACING = 5;
const MOST_FOUND = 8;

class Picker {
  /* on.add(kind), on.remove(runner), on.resize(runner, size). */
  constructor(kinds, on) {
    Object.assign(this, { kinds, on });
    this.chosen = tag("ul", { class: "chosen", "aria-label": "Plants in the race" });
    this.search = tag("input", { id: "find", type: "search", autocomplete: "off", spellcheck: "false" });
    this.count = tag("p", { role: "status", class: "quiet" });
    this.found = tag("ul", { class: "found", "aria-label": "Plants found" });
    this.node = tag("section", { class: "panel", id: "pickpanel", "aria-label": "Choose plants", hidden: "" },
      this.chosen,
      tag("div", {}, tag("label", { for: "find" }, `Find among ${kinds.length} plants`), this.search, this.count, this.found));
    this.search.addEventListener("input", () => this.look());
  }

  toggle() { this.node.hidden = !this.node.hidden; }

  /* Other plants or sizes; a size that is being chosen keeps the focus. */
  tell(runners) {
    const sizes = () => [...this.chosen.querySelectorAll("select")];
    const focused = sizes().findIndex((select) => select.matches(":focus"));
    this.runners = runners;
    this.chosen.replaceChildren(...runners.map((runner) => this.chosenItem(runner)));
    if (focused >= 0) sizes()[focused].focus();
    this.look();
  }

  chosenItem(runner) {
    const sizes = runner.kind.sizes.map((size, i) => {
      const option = tag("option", { value: i }, size);
      option.selected = i === runner.sizeIndex;
      return option;
    });
    const size = tag("select", { "aria-label": `Size of ${runner.inner} at planting` }, ...sizes);
    size.addEventListener("change", () => this.on.resize(runner, Number(size.value)));
    const remove = tag("button", { type: "button", class: "button", "aria-label": `Remove ${runner.inner}` }, "Remove");
    remove.addEventListener("click", () => { this.on.remove(runner); this.search.focus(); });
    return tag("li", {}, tag("span", {}, runner.label, tag("small", {}, runner.kind.name)), size, remove);
  }

  look() {
    const words = this.search.value.toLowerCase().split(/\s+/).filter(Boolean);
    const fits = this.kinds.filter((kind) => words.every((word) => kind.words.includes(word)));
    const full = this.runners.length >= MOST_RACING;
    const shown = words.length ? fits.slice(0, MOST_FOUND) : [];
    const number = fits.length === 1 ? "1 plant" : `${fits.length} plants`;
    const more = fits.length > shown.length ? `, the first ${shown.length} below` : "";
    const say = words.length ? (fits.length ? `${number}${more}.` : "No plant fits all of these words.") : "By name, kind or use, like: oak, fern, evergreen screen.";
    this.count.textContent = full ? `${say} ${MOST_RACING} plants race already: remove one to add another.` : say;
    this.found.replaceChildren(...shown.map((kind) => this.foundItem(kind, full)));
  }

  foundItem(kind, full) {
    const add = tag("button", { type: "button", "aria-label": `Add ${kind.name}${kind.common ? `, ${kind.common}` : ""}` },
      tag("span", {}, sentenceCase(kind.common || kind.name), tag("small", {}, kind.common ? kind.name : "")), "Add");
    add.disabled = full;
    add.addEventListener("click", () => { this.on.add(kind); this.search.focus(); });
    return tag("li", {}, add);
  }
}
