/* Following the document: what a save changed is taken over; year, camera and choices stay. */

const STORY = ["story", "words"];
const UNDER_PLANTS = ["cards", "plants", "sizes", "layers", "hard", "ground"]; // what a chosen plant rests on
const UNDER_GROUND = ["ground", "hard", "plants", "sizes", "layers", "closing"]; // what the ground's panel rests on

class Follow {
  constructor(yard, model) {
    this.yard = yard;
    this.model = model;
    this.known = Object.fromEntries([...PARTS, ...STORY].map((name) => [name, model[name]]));
    this.news = new News();
    this.heard = model.news;
  }

  begin() {
    this.model.on("news", () => this.take());
    if (this.model.news !== this.heard) this.take(); // came while the page was built
    else this.say();
  }

  /* The picture is on the screen, or none can be: what waits for it may go on. */
  seen() {
    this.model.seen = true;
  }

  /* What came since: parts are new objects where they were sent, and the same where not. */
  take() {
    const { model, known, yard } = this;
    const fresh = Object.keys(known).filter((name) => model[name] !== known[name]);
    for (const name of fresh) known[name] = model[name];
    const parts = fresh.filter((name) => PARTS.includes(name));
    if (fresh.includes("words")) takeWords(model.words);
    if (parts.length) this.takeParts(parts);
    if (fresh.some((name) => STORY.includes(name))) yard.tell(model.story);
    this.say();
    if (!model.news.figures) return;
    yard.ground.askSunAgain();
    yard.stills.again();
  }

  say() {
    const { news } = this.model;
    this.news.say(news);
    if (news.figures === false) return;
    this.yard.node.dataset.told = news.count || 0;
  }

  takeParts(names) {
    const { yard, model } = this;
    const parts = Object.fromEntries(names.map((name) => [name, unpacked(model[name])]));
    Object.assign(yard.parts, parts);
    const { layers, closing, hours, cards, ...drawn } = parts;
    yard.picture.load(drawn);
    if (parts.months || parts.suns) yard.moment.again(yard.parts);
    if (!yard.compare.schemed) yard.compare.pair?.load(drawn);
    if (names.some((name) => UNDER_GROUND.includes(name))) yard.ground = groundAgain(yard.ground, yard);
    if (names.some((name) => UNDER_PLANTS.includes(name))) yard.plants.again();
    yard.person.place();
    if (yard.views.classList.contains("pictured")) yard.showThumbnails();
  }
}

/* Title, subtitle and the figures under the years; the figures come as markup our template made. */
function takeWords({ title, subtitle, figures }) {
  document.title = title;
  document.querySelector(".top h1").textContent = title;
  document.querySelector(".top p").textContent = subtitle;
  document.getElementById("figures").innerHTML = figures;
}

/* The ground's panel made anew for other ground or plants, showing what was looked at before. */
function groundAgain(old, yard) {
  const ground = new Ground(yard.parts, yard);
  if (!old.field) return old; // nothing was made yet, and it reads the parts when it is
  old.leave();
  old.node.replaceWith(ground.node);
  ground.node.open = old.node.open;
  ground.open();
  ground.resume(old);
  return ground;
}
