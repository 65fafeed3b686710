/* Showing the client: picture, year, sentence and groove fill the window, and nothing else.
   Conditions and irrigation are left out of what happens, the ground is shown as planned, and
   the sentence says first that it is a forecast, of which month, in leaf or bare. */

const BEHIND = "a.skip, .top nav, #figures"; // covered, so neither keys nor readers may get there

class Client {
  constructor(yard) {
    this.yard = yard;
    this.shown = false;
    this.button = tag("button", { type: "button", class: "button toclient" }, "Show the client");
    this.back = tag("button", { type: "button", class: "button back", hidden: "" }, "Back to the yard");
    this.button.addEventListener("click", () => this.enter());
    this.leaving = () => this.leave();
    this.back.addEventListener("click", this.leaving);
    this.escaped = (key) => { if (key.key === "Escape" && !key.defaultPrevented) this.leave(); };
  }

  /* Of all events those that are told at present. */
  events(all) {
    return this.shown ? all.filter(({ band, about }) => band !== "rule" && about !== "irrigation") : all;
  }

  /* What stands before the sentence of a year. */
  foreword(year) {
    const { story, moment, stills } = this.yard;
    const when = story.dates[Math.floor(year)];
    const shown = stills.picture ? "" : `; shown in ${moment.words()}`; // a still's caption says its own month
    return `A forecast: ${when.slice(0, 1).toLowerCase()}${when.slice(1)}${shown}. `;
  }

  enter() {
    this.yard.plants.leave();
    this.turn(true);
    this.planned = this.clearGround();
    document.addEventListener("keydown", this.escaped);
    window.addEventListener("hashchange", this.leaving);
    this.yard.years.track.slider.focus();
  }

  leave() {
    if (!this.shown) return;
    document.removeEventListener("keydown", this.escaped);
    window.removeEventListener("hashchange", this.leaving);
    this.yard.years.stop();
    this.turn(false);
    this.planned?.();
    this.button.focus();
  }

  turn(shown) {
    const { yard } = this;
    const { years, story } = yard;
    this.shown = shown;
    this.back.hidden = !shown;
    yard.node.classList.toggle("client", shown);
    document.documentElement.style.overflow = shown ? "hidden" : "";
    for (const each of document.querySelectorAll(BEHIND)) each.inert = shown;
    years.track.shapesOnly = shown;
    years.foreword = shown ? (year) => this.foreword(year) : () => "";
    years.tell(this.events(story.events), story.crowns);
    yard.layout();
  }

  /* Nothing lies over the ground for a client; what lay there comes back by what is returned. */
  clearGround() {
    const { ground } = this.yard;
    if (!ground.field) return null;
    const { layer, existing, every } = ground;
    const cut = ground.section.open;
    if (cut) ground.section.toggle();
    if (existing) ground.pick("state", 0);
    if (layer !== "none") ground.pick("layer", "none");
    if (every) ground.setContours(0);
    return () => {
      const again = this.yard.ground; // another one where the yard was read again
      if (every) again.setContours(every);
      if (layer !== "none") again.pick("layer", layer);
      if (existing) again.pick("state", 1);
      if (cut) again.section.toggle();
    };
  }
}
