/* What a page says of the document it follows: when it was read, and what is wrong with it. A
   mistake stands above what was last read well, until it is mended. */

class News {
  constructor() {
    this.mistake = tag("section", { class: "mistake", role: "alert", hidden: "" });
    this.again = tag("p", { class: "again", role: "status", hidden: "" });
  }

  say({ count = 0, mistakes = [], figures = true, read = "" }) {
    this.mistake.hidden = !mistakes.length;
    this.mistake.replaceChildren(...(mistakes.length ? mistakeNodes(mistakes, read) : []));
    this.again.hidden = (!count && figures) || mistakes.length > 0;
    const drawn = count ? `Drawn again at ${read}; the figures follow` : "The checks are being done; the figures follow";
    this.again.textContent = figures ? `Read again at ${read}` : drawn;
  }
}

/* What is wrong, in the words of the command line: the first mistake, and the others on request. */
function mistakeNodes([first, ...others], read) {
  const list = tag("ul", {}, ...others.map((line) => tag("li", {}, line)));
  return [
    tag("b", {}, others.length ? "The document has mistakes." : "The document has a mistake."),
    tag("p", { class: "line" }, first),
    others.length ? tag("details", {}, tag("summary", {}, `${others.length} more`), list) : null,
    tag("p", {}, `Below stands the yard as it was last read, at ${read}.`),
  ].filter((node) => node);
}
