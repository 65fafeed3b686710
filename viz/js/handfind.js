/* Finding a plant to set or to swap in: words go to the server's catalogue, which answers with
   plants and the sizes they are sold in. */

const WAIT_MS = 250;

class Finder {
  /* on.look(words); on.take(plant, size): one was picked. */
  constructor(name, verb, on) {
    Object.assign(this, { verb, on });
    this.field = tag("input", { id: `find-${name}`, type: "search", autocomplete: "off", spellcheck: "false", placeholder: "evergreen screen zone 6" });
    this.say = tag("p", { role: "status", class: "quiet" });
    this.list = tag("ul", { class: "found" });
    this.node = tag("div", { class: "finder" }, tag("label", { for: `find-${name}` }, "Find a plant by name, kind, size or use"), this.field, this.say, this.list);
    this.field.addEventListener("input", () => {
      clearTimeout(this.later);
      this.later = setTimeout(() => this.look(this.field.value), WAIT_MS);
    });
  }

  look(words) {
    this.asked = words;
    this.on.look(words);
  }

  /* What the server found, if it was asked here. */
  tell({ words, say, plants }) {
    if (words !== this.asked) return;
    this.say.textContent = say;
    this.list.replaceChildren(...plants.map((plant) => this.item(plant)));
  }

  item(plant) {
    const size = tag("select", { "aria-label": `Size of ${plant.name}` }, ...plant.sizes.map((each) => tag("option", { value: each }, each)));
    size.value = plant.sizes[Math.floor(plant.sizes.length / 2)] ?? "";
    const take = tag("button", { type: "button", class: "button", "aria-label": `${this.verb} ${plant.name}` }, this.verb);
    take.addEventListener("click", () => this.on.take(plant, size.value));
    const warned = plant.cautions ? tag("small", { class: "warned" }, sentenceCase(plant.cautions)) : null;
    return tag("li", {}, tag("span", {}, sentenceCase(plant.common || plant.name), tag("small", {}, plant.common ? plant.name : ""), warned), size, take);
  }
}
