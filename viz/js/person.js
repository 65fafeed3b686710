/* A person of 1.7 m in the picture, for scale: switched on and off, and placed for each view. */

const PERSON_M = 1.7;

class Person {
  constructor(yard) {
    this.yard = yard;
    this.on = false;
    this.tick = tag("input", { type: "checkbox", id: "person" });
    this.tick.addEventListener("change", () => this.set(this.tick.checked));
    this.node = tag("label", { class: "tick" }, this.tick, `A person, ${lengthIn(PERSON_M, yard.parts.layers.unit)}`);
  }

  set(on) {
    this.on = on;
    this.place();
  }

  /* The figure where it stands in the view looked from; where it has no place there, as before. */
  place() {
    const { picture, parts, view } = this.yard;
    if (!picture || picture.failed) return;
    const { figure, feet } = parts.views.person;
    const at = feet[view] ?? this.at ?? feet.find((each) => each);
    if (this.on && at && (!picture.actors.person || this.drawn !== figure)) this.draw(figure);
    const { person } = picture.actors;
    if (!person) return;
    if (at) person.setPosition(...at);
    person.setVisibility(this.on && Boolean(at));
    this.at = at;
    picture.need();
  }

  draw(figure) {
    const { picture } = this.yard;
    picture.show("person", picture.surfaceActor(figure, builtShaders(), ["reach"]));
    this.drawn = figure;
  }
}
