/* Until a yard is made: the steps in words, done and to come. Nothing is there to be moved yet. */

class Loading {
  constructor() {
    this.bar = tag("progress", { max: 1, "aria-label": "Steps done" });
    this.list = tag("ol");
    this.node = tag("section", { class: "loading", role: "status", "aria-label": "The yard is being made" },
      tag("p", {}, "The yard is being made."), this.bar, this.list);
  }

  say({ steps = [] }) {
    this.bar.max = Math.max(steps.length, 1);
    this.bar.value = steps.filter((step) => step[1] === "done").length;
    this.list.replaceChildren(...steps.map(([name, state]) =>
      tag("li", { class: state.replace(" ", "-") }, tag("span", {}, name), tag("small", {}, state))));
  }
}

/* The node that `make` makes of a model, or what loading shows in its place until its story came. */
function onceTold(model, make) {
  requestAnimationFrame(() => (model.here = true)); // whoever serves this page tells what came since
  const told = () => model.story.dates && model.news.shown !== false; // parts come one by one, the news last
  if (told()) return make();
  const loading = new Loading();
  loading.say(model.news);
  let made = false;
  model.on("news", () => {
    if (made) return;
    made = told();
    if (made) loading.node.replaceWith(make());
    else loading.say(model.news);
  });
  return loading.node;
}
