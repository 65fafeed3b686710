/* The yard drawn in the browser by vtk.js (window.vtk): ground, built things, every plant at any
   year. Every plant is an instance of one of its kind's drawings; a year only moves numbers.
   Drawn on request only, never in a loop. Metres, z up.
   Needs light.js, drawings.js, daylight.js, shade.js, overlay.js, lens.js, orbit.js, loss.js, canvas.js. */

const FINE = 2; // drawing pixels a CSS pixel at rest
const REST_MS = 350;
const FIRST_REST_MS = 900; // the first picture is on the screen before it is made finer
const PAUSE_MS = 20; // between drawings that are made ahead
const LOOKS = ['leaf', 'flowers', 'bare']; // as in viz/months.py
const SLOW_MS = 900; // a finer picture that takes longer is made less fine

class Picture {
  /* A picture in a box; `lender` is another one whose drawing context it shares. */
  constructor(box, lender = null) {
    this.box = box;
    this.lender = lender;
    this.vtk = window.vtk;
    this.data = {};
    this.year = 0;
    [this.month, this.hour] = [5, 12]; // months are counted from 0
    this.camera = { position: [0, -30, 20], focal: [0, 0, 0], up: [0, 0, 1], angle: 40 };
    this.view = -1;
    this.fine = FINE;
    this.ms = 0;
    this.failed = '';
    this.onready = () => {};
    this.onseen = () => {}; // once the first picture is on the screen
    this.onlost = this.onfailed = () => {};
    this.ondraw = () => {}; // what stands over the picture follows it
    this.onpaint = () => {}; // so does a picture beside it
    this.planted = true;
    this.drawn = new Promise((resolve) => (this.first = resolve));
    this.open();
    if (!this.context) this.failed = 'no webgl';
    else {
      this.controls = new Orbit(this);
      this.watch = new ResizeObserver(() => this.need());
      this.watch.observe(box);
    }
  }

  /* A new drawing context; also after the browser has taken the old one away (loss.js). */
  open() {
    openDrawing(this);
    this.actors = {};
    this.groups = [];
    this.leaves = Boolean(this.lender);
    this.ready = false;
    this.lost = false;
  }

  /* Nothing can be drawn in this browser, or not any more. */
  fail() {
    this.failed = 'no webgl';
    this.onfailed();
  }

  /* Takes all or some of the stage's parts; the camera stays where it is. */
  load(parts) {
    const first = !this.data.views;
    this.data = { ...this.data, ...parts };
    if (this.failed) return;
    if (parts.suns) this.setMoment(this.month, this.hour);
    if (parts.hard) this.show('hard', this.surfaceActor(parts.hard, builtShaders(), ['reach']));
    if (parts.ground) this.loadGround(parts.ground);
    if (parts.kinds && !this.leaves) this.image(parts.kinds.atlas, 'image/webp', (image) => keepLeaves(this.context, image));
    this.leaves = true; // one atlas serves every yard
    if (parts.far) this.loadFar(parts.far);
    if (parts.kinds || !this.fits(this.data.plants)) this.loadPlants();
    if (!first) this.prepareAll();
    this.middle = middleOf(this.data.ground.points);
    if (first && parts.views) this.look(Math.max(0, parts.views.views.length - 2));
    if (Object.keys(parts).some((name) => name !== 'views')) this.setYear(this.year);
  }

  show(name, actor) {
    if (this.actors[name]) this.drop(this.actors[name]);
    this.actors[name] = actor;
    this.renderer.addActor(actor);
  }

  drop(actor) {
    release(this.gl, actor, this.overlay?.texture);
    this.renderer.removeActor(actor);
    actor.delete();
  }

  surfaceActor(surface, shaders, attributes = []) {
    const mapper = this.vtk.Rendering.Core.vtkMapper.newInstance();
    mapper.setInputData(surfaceMesh(this.vtk, surface));
    mapper.setScalarVisibility(Boolean(surface.colours));
    mapper.setColorModeToDirectScalars();
    mapper.setCustomShaderAttributes(attributes);
    mapper.setViewSpecificProperties({ OpenGL: { ShaderReplacements: shaders }, ShadersCallbacks: [lightTeller(this)] });
    const actor = this.vtk.Rendering.Core.vtkActor.newInstance();
    actor.setMapper(mapper);
    actor.getProperty().setLighting(false);
    return actor;
  }

  texture(bytes, type) {
    const texture = this.vtk.Rendering.Core.vtkTexture.newInstance();
    texture.setInterpolate(true);
    this.image(bytes, type, (image) => texture.setCanvas(image)); // as an Image, vtk.js would paint it on a canvas first
    return texture;
  }

  /* Hands over a picture once it is decoded, beside everything else and already upside down, as
     textures lie; nothing is drawn while one is waited for. */
  async image(bytes, type, ready) {
    this.waiting = (this.waiting || 0) + 1;
    ready(await createImageBitmap(new Blob([bytes], { type }), { imageOrientation: 'flipY', premultiplyAlpha: 'none' }));
    this.waiting -= 1;
    this.need();
  }

  loadGround(ground) {
    const actor = this.surfaceActor(ground, groundShaders(Boolean(this.overlay)));
    actor.addTexture(this.texture(ground.picture, 'image/jpeg'));
    this.shade = new Shade(this, ground);
    actor.addTexture(this.shade.texture);
    if (this.overlay) actor.addTexture(this.overlay.texture);
    this.show('ground', actor);
  }

  /* Lays a picture over the ground; the field says where and how high it lies. */
  layOver(field) {
    if (this.failed) return null;
    this.field = field;
    this.overlay = new Overlay(this, field);
    this.loadGround(this.data.ground);
    this.setYear(this.year);
    return this.overlay;
  }

  /* Moves the ground to where the field has it. */
  moveGround() {
    const points = this.actors.ground.getMapper().getInputData().getPoints();
    this.field.copyHeights(points.getData());
    points.modified();
    this.actors.ground.getMapper().getInputData().modified();
    this.need();
  }

  setPlanted(planted) {
    if (this.planted === planted) return;
    this.planted = planted;
    this.setYear(this.year);
  }

  loadFar(far) {
    const land = this.surfaceActor(far.land, landShaders());
    const tile = this.texture(far.land.picture, 'image/jpeg');
    tile.setRepeat(true);
    land.addTexture(tile);
    this.show('land', land);
    if (this.trees) Object.values(this.trees.actors).forEach((a) => this.drop(a));
    this.trees = new Group(this, far.trees, far.trees.size.length);
    const { foot, yaw, colours, size } = far.trees;
    size.forEach((s, i) => this.trees.add(foot, yaw, colours, i, s, s));
    this.trees.done(this.season);
  }

  loadPlants() {
    this.groups.flat().forEach((g) => Object.values(g.actors).forEach((a) => this.drop(a)));
    const counts = countsOf(this.data.plants.kind);
    this.groups = this.data.kinds.kinds.map((stages, k) =>
      stages.map((stage) => new Group(this, stage, counts.get(k) || 0)),
    );
    this.bulks = this.data.kinds.kinds.map((stages) => stages.map((s) => Math.cbrt(s.height * s.spread ** 2)));
  }

  /* Whether the groups have room for all plants of their kinds. */
  fits(plants) {
    const counts = countsOf(plants.kind);
    return this.groups.every((stages, k) => stages.every((group) => group.most >= (counts.get(k) || 0)));
  }

  /* Makes the drawings of other years, one in a pause, so that later steps are as quick as the first. */
  prepareAll() {
    const { groups } = this;
    const left = groups.flat();
    const one = () => {
      if (groups !== this.groups || !left.length) return; // other plants came meanwhile, or all done
      left.pop().prepare('leaf');
      setTimeout(one, PAUSE_MS);
    };
    one();
  }

  /* Sizes of all plants at a year, also between whole years; drawn with the next frame. */
  setYear(year) {
    const start = performance.now();
    this.year = year;
    const { plants, sizes, months } = this.data;
    if (this.failed || !plants || !sizes) return 0;
    const count = plants.kind.length;
    const last = sizes.years.length - 1;
    const low = Math.min(Math.max(Math.floor(year), 0), last);
    const share = Math.min(Math.max(year - low, 0), 1);
    const from = low * count;
    const to = Math.min(low + 1, last) * count;
    this.now = this.now?.length === 2 * count ? this.now : new Float32Array(2 * count);
    const colours = months.colours.subarray(3 * count * this.month);
    const kinds = this.groups.length;
    this.groups.forEach((stages) => stages.forEach((g) => (g.count = 0)));
    for (let i = 0; i < count; i++) {
      const high = this.planted ? between(sizes.height[from + i], sizes.height[to + i], share) : 0;
      const wide = between(sizes.spread[from + i], sizes.spread[to + i], share);
      this.now[2 * i] = high;
      this.now[2 * i + 1] = wide;
      if (high > 0) {
        const k = plants.kind[i];
        const group = this.groups[k][nearest(this.bulks[k], Math.cbrt(high * wide * wide))];
        group.add(plants.foot, plants.yaw, colours, i, wide / group.stage.spread, high / group.stage.height);
      }
    }
    this.groups.forEach((stages, k) => stages.forEach((g) => g.done(LOOKS[months.drawing[kinds * this.month + k]])));
    this.shaded = false;
    this.ms = performance.now() - start;
    this.need();
    return this.ms;
  }

  /* leaf or bare: how a tree that drops its leaves stands in the month. */
  get season() {
    return this.data.months.seasons[this.month];
  }

  /* Light of an hour, and plants as they look in the month (0-11). */
  setMoment(month, hour) {
    const other = month !== this.month;
    [this.month, this.hour] = [month, hour];
    if (!this.data.suns) return;
    this.light = new Daylight(this.data.suns).at(month, hour);
    this.shaded = false;
    if (other) this.trees?.done(this.season);
    if (other) this.setYear(this.year);
    this.need();
  }

  look(i) {
    const view = this.data.views?.views[i];
    if (!view) return;
    this.view = i;
    this.camera = cameraOf(view);
    this.need();
  }

  /* A small picture of a view at the year shown, as the data URL of a JPEG. */
  async thumbnail(i, wide, high) {
    if (this.failed) return '';
    await this.drawn;
    const kept = this.camera;
    this.camera = cameraOf(this.data.views.views[i]);
    const drawn = [2 * wide, 2 * high];
    this.gl.setSize(...drawn.map((length, k) => Math.max(length, this.finest[k])));
    const horizon = this.aim(wide / high);
    drawScene(this, drawn);
    const sheet = document.createElement('canvas');
    [sheet.width, sheet.height] = [wide, high];
    const pen = sheet.getContext('2d');
    const fall = pen.createLinearGradient(0, 0, 0, high);
    for (const [colour, percent] of sky(horizon, this.light)) fall.addColorStop(Math.min(Math.max(percent / 100, 0), 1), colour);
    pen.fillStyle = fall;
    pen.fillRect(0, 0, wide, high);
    copyDrawn(this, drawn, pen, [wide, high]);
    this.camera = kept;
    this.draw();
    return sheet.toDataURL('image/jpeg', 0.8);
  }

  /* Asks for one frame; many requests before it make one. */
  need() {
    if (this.failed || this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.draw();
    });
  }

  draw() {
    if (!this.data.ground || this.waiting || this.lost) return;
    this.sharpen(Math.min(window.devicePixelRatio || 1, this.fine));
    this.aim();
    for (const name of ['ground', 'land']) this.actors[name]?.getProperty().setAmbient(this.season === 'bare' ? 1 : 0);
    if (!this.shaded) this.shade?.paint();
    this.shaded = true;
    this.upload();
    drawPicture(this);
    if (this.upload()) this.need(); // vtk.js had no place for it before
    this.ondraw();
    this.onpaint();
    if (this.ready) this.rest(REST_MS);
    else {
      this.ready = true;
      // two frames on, this one is on the screen: drawing may take the graphics card a second
      requestAnimationFrame(() => requestAnimationFrame(() => {
        this.rest(FIRST_REST_MS);
        this.onseen();
        this.prepareAll();
      }));
      this.first();
      this.onready();
    }
  }

  /* What lies on the ground, where it is new; whether anything was. */
  upload() {
    return [this.shade, this.overlay].map((each) => each?.upload()).some(Boolean);
  }

  rest(ms) {
    clearTimeout(this.resting);
    if (this.size[0] < this.finest[0]) this.resting = setTimeout(() => this.refine(), ms);
  }

  /* Drawn once more with finer pixels when nothing moves: leaves have no other smoothing. */
  refine() {
    if (this.lost || this.asked || this.waiting) return;
    this.sharpen(this.fine);
    this.aim();
    drawPicture(this);
    whenDrawn(this, (ms) => {
      this.fineMs = ms;
      if (ms > SLOW_MS) this.slower();
    });
  }

  slower() {
    this.fine = Math.max(1, this.fine - 0.5);
  }

  /* Drawing pixels a CSS pixel; never more than four million in all. */
  sharpen(wanted) {
    const { clientWidth: wide, clientHeight: high } = (this.lender ?? this).box;
    const most = Math.sqrt(4e6 / Math.max(wide * high, 1));
    const pixels = (ratio) => [wide, high].map((length) => Math.max(1, Math.floor(length * Math.min(ratio, most))));
    [this.size, this.finest] = [pixels(wanted), pixels(Math.max(wanted, this.fine))];
  }

  /* Camera of vtk from ours; the sky behind the clear canvas follows the horizon. */
  aim(shape = this.box.clientWidth / Math.max(this.box.clientHeight, 1)) {
    const { position, focal, up, angle } = this.camera;
    const half = halfWidth(angle, shape);
    const camera = this.renderer.getActiveCamera();
    camera.setPosition(...position);
    camera.setFocalPoint(...focal);
    camera.setViewUp(...up);
    camera.setViewAngle((Math.atan(half / shape) * 360) / Math.PI);
    const reach = Math.hypot(...position.map((p, k) => p - this.middle[k]));
    camera.setClippingRange(Math.max(0.15, (reach - 60) * 0.5), reach + 1100);
    const [dx, dy, dz] = focal.map((f, k) => f - position[k]);
    const fall = -dz / Math.max(Math.hypot(dx, dy), 1e-6);
    const horizon = 50 - (50 * fall) / (half / shape);
    const stops = sky(horizon, this.light).map(([colour, percent]) => `${colour} ${percent}%`);
    this.box.style.background = `linear-gradient(to bottom, ${stops.join(', ')})`;
    return horizon;
  }

  stats() {
    const groups = this.groups.flat();
    return {
      plants: groups.reduce((sum, g) => sum + g.count, 0),
      triangles: groups.reduce((sum, g) => sum + (g.triangles || 0), 0),
      ms: this.ms,
    };
  }
}

const cameraOf = (view) => ({ position: [...view.eye], focal: [...view.focal], up: [...view.up], angle: view.angle });

const between = (a, b, share) => (a > 0 && b > 0 ? a + (b - a) * share : a);

function nearest(bulks, bulk) {
  let best = 0;
  for (let s = 1; s < bulks.length; s++) if (bulk * bulk > bulks[s - 1] * bulks[s]) best = s;
  return best;
}

function middleOf(points) {
  const n = points.length / 3;
  const sum = [0, 0, 0];
  for (let i = 0; i < points.length; i++) sum[i % 3] += points[i] / n;
  return sum;
}
