/* The picture under the plan: whether it is shown, and how well it fits. */

class Under {
  constructor(sheet) {
    this.sheet = sheet;
    this.shown = tag("input", { type: "checkbox", id: "plan-under", checked: "" });
    this.words = tag("span", { class: "quiet" });
    this.check = tag("label", { class: "check" }, this.shown, "Base plan");
    this.node = tag("div", { class: "planunder", hidden: "" }, this.check, this.words);
    this.shown.addEventListener("change", () => this.show());
  }

  draw(under) {
    if (under === this.known) return;
    this.known = under;
    this.node.hidden = !under.words;
    this.words.textContent = under.words ?? "";
    this.check.hidden = !under.picture;
    this.sheet.drawUnder(under);
    this.show();
  }

  show() { this.sheet.node.classList.toggle("based", Boolean(this.known.picture) && this.shown.checked); }
}
