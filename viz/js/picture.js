/* The yard drawn in the browser by vtk.js (window.vtk): ground, built things, every plant at any
   year. Every plant is an instance of one of its kind's drawings; a year only moves numbers.
   Light is computed a corner in the vertex shader from the figures Python sends; leaf cards are
   cut out by the atlas. Drawn on request only, never in a loop. Metres, z up. */

const WIDE = 16 / 9; // shape of the picture that a view's angle is meant for
const CUT = 0.42; // cut-out level of the atlas, as in viz/atlas.py
const MOST_TINT = 4; // as in viz/stage.py

const glsl = (v) => `vec3(${v.map((x) => x.toFixed(4)).join(', ')})`;

/* Shader of instanced plants: leaf colour or own colour, sun, sky, bounce, light through leaves. */
function plantShaders(sun) {
  const lit = `
    vec3 nW = normalize(gNormal * normalMC);
    float own = step(0.5, tintMC.a);
    vec3 leaf = pow(gColor.rgb, vec3(2.2));
    vec3 albedo = mix(leaf * tintMC.rgb, tintMC.rgb, own);
    float facing = dot(nW, ${glsl(sun.towards)});
    float wrapped = clamp((facing + 0.22) / 1.22, 0.0, 1.0);
    float up = 0.5 + 0.5 * nW.z;
    vec3 light = ${glsl(sun.sun)} * wrapped + ${glsl(sun.sky)} * (1.15 * up + 0.30)
      + ${glsl(sun.bounce)} * 1.6 * (1.0 - up);
    light += (1.0 - own) * vec3(1.25, 1.15, 0.55) * ${glsl(sun.sun)} * 0.30 * clamp(0.25 - 0.8 * facing, 0.0, 1.0);
    vec3 radiance = albedo * light * ${sun.exposure.toFixed(3)};
    float bright = max(dot(radiance, vec3(0.2126, 0.7152, 0.0722)), 1e-5);
    float rolled = (1.0 - exp(-1.2 * bright)) * (0.80 + 0.20 * smoothstep(0.0, 0.25, bright));
    litV = pow(clamp(radiance * rolled / bright, 0.0, 1.0), vec3(1.0 / 2.2));`;
  const cut = `
    vec2 texel = fwidth(tcoordVCVSOutput) * 1024.0;
    float level = max(0.0, log2(max(texel.x, texel.y)));
    if (tcolor.a * (1.0 + 0.30 * level) < ${CUT}) discard;`;
  return [
    swap('Vertex', '//VTK::Color::Dec', 'attribute vec4 tintMC;\nvarying vec3 litV;\n//VTK::Color::Dec'),
    swap('Vertex', '//VTK::Normal::Impl', `//VTK::Normal::Impl\n${lit}`),
    swap('Fragment', '//VTK::Color::Dec', 'varying vec3 litV;\n//VTK::Color::Dec'),
    swap('Fragment', '//VTK::TCoord::Impl', `//VTK::TCoord::Impl\n${cut}`),
    swap('Fragment', '//VTK::Light::Impl', 'gl_FragData[0] = vec4(litV * tcolor.rgb, 1.0);'),
  ];
}

/* Shader of the ground: the baked picture, darkened by the shade of this year's plants. */
function groundShaders() {
  return [
    swap('Fragment', '//VTK::TCoord::Dec', '//VTK::TCoord::Dec\nuniform sampler2D texture2;'),
    swap(
      'Fragment',
      '//VTK::Light::Impl',
      `float shade = texture2D(texture2, tcoordVCVSOutput).a;
       gl_FragData[0] = vec4(tcolor.rgb * (1.0 - shade * vec3(0.62, 0.58, 0.50)), 1.0);`,
    ),
  ];
}

function swap(shaderType, originalValue, replacementValue) {
  return { shaderType, originalValue, replacementValue, replaceFirst: true, replaceAll: false };
}

const scaled = (numbers, factor) => Float32Array.from(numbers, (x) => x * factor);

/* Drawn plant in small whole numbers -> vtk polydata; four corners a piece, in order. */
function plantMesh(vtk, packed) {
  const mesh = vtk.Common.DataModel.vtkPolyData.newInstance();
  mesh.getPoints().setData(scaled(packed.points, packed.reach / 32767), 3);
  const pieces = packed.points.length / 12;
  const quads = new Uint32Array(pieces * 5);
  for (let i = 0; i < pieces; i++) quads.set([4, 4 * i, 4 * i + 1, 4 * i + 2, 4 * i + 3], 5 * i);
  mesh.getPolys().setData(quads, 1);
  const data = mesh.getPointData();
  data.setNormals(column(vtk, 'normals', 3, scaled(packed.normals, 1 / 127)));
  data.setTCoords(column(vtk, 'tcoords', 2, scaled(packed.tcoords, 1 / 65535)));
  const tint = Float32Array.from(packed.tint, (x, i) => (i % 4 === 3 ? x / 255 : MOST_TINT * (x / 255) ** 2));
  data.addArray(column(vtk, 'tint', 4, tint));
  return mesh;
}

function column(vtk, name, numberOfComponents, values) {
  return vtk.Common.Core.vtkDataArray.newInstance({ name, numberOfComponents, values });
}

/* Triangles with colours or texture places -> vtk polydata. */
function surfaceMesh(vtk, surface) {
  const mesh = vtk.Common.DataModel.vtkPolyData.newInstance();
  mesh.getPoints().setData(Float32Array.from(surface.points), 3);
  const count = surface.triangles.length / 3;
  const faces = new Uint32Array(count * 4);
  for (let i = 0; i < count; i++) faces.set([3, ...surface.triangles.subarray(3 * i, 3 * i + 3)], 4 * i);
  mesh.getPolys().setData(faces, 1);
  const data = mesh.getPointData();
  if (surface.tcoords) data.setTCoords(column(vtk, 'tcoords', 2, Float32Array.from(surface.tcoords)));
  if (surface.colours) data.setScalars(column(vtk, 'rgb', 3, Uint8Array.from(surface.colours)));
  return mesh;
}

/* Plants of one drawing: a point set with place, turn, size and colour that can shrink and grow. */
class Group {
  constructor(picture, stage, most) {
    this.picture = picture;
    this.stage = stage;
    this.count = 0;
    this.place = new Float32Array(3 * most);
    this.turn = new Float32Array(3 * most);
    this.size = new Float32Array(3 * most);
    this.colour = new Uint8Array(3 * most);
    const { vtk } = picture;
    this.points = vtk.Common.DataModel.vtkPolyData.newInstance();
    this.columns = [column(vtk, 'turn', 3, this.turn), column(vtk, 'size', 3, this.size)];
    this.columns.forEach((c) => this.points.getPointData().addArray(c));
    this.scalars = column(vtk, 'colour', 3, this.colour);
    this.points.getPointData().setScalars(this.scalars);
    this.actors = {};
  }

  add(foot, yaw, colours, i, wide, high) {
    const at = 3 * this.count++;
    for (let k = 0; k < 3; k++) {
      this.place[at + k] = foot[3 * i + k];
      this.colour[at + k] = colours[3 * i + k];
    }
    this.turn[at + 2] = yaw[i];
    this.size[at] = wide;
    this.size[at + 1] = wide;
    this.size[at + 2] = high;
  }

  /* Hands the filled part of the buffers to vtk and shows the season's drawing. */
  done(season) {
    const n = 3 * this.count;
    this.points.getPoints().setData(this.place.subarray(0, n), 3);
    this.columns[0].setData(this.turn.subarray(0, n), 3);
    this.columns[1].setData(this.size.subarray(0, n), 3);
    this.scalars.setData(this.colour.subarray(0, n), 3);
    this.points.modified();
    const shown = season === 'bare' && this.stage.bare ? 'bare' : 'leaf';
    if (this.count && !this.actors[shown]) this.actors[shown] = this.actor(this.stage[shown]);
    for (const [name, actor] of Object.entries(this.actors)) actor.setVisibility(this.count > 0 && name === shown);
    this.triangles = this.count * (this.stage[shown].points.length / 6);
  }

  actor(packed) {
    const { vtk, atlas, renderer, sun } = this.picture;
    const mapper = vtk.Rendering.Core.vtkGlyph3DMapper.newInstance({ orient: true, scaling: true });
    mapper.setInputData(this.points, 0);
    mapper.setInputData(plantMesh(vtk, packed), 1);
    mapper.setOrientationArray('turn');
    mapper.setOrientationModeToRotation();
    mapper.setScaleArray('size');
    mapper.setScaleModeToScaleByComponents();
    mapper.setColorModeToDirectScalars();
    mapper.setCustomShaderAttributes(['tint']);
    mapper.setViewSpecificProperties({ OpenGL: { ShaderReplacements: plantShaders(sun) } });
    const actor = vtk.Rendering.Core.vtkActor.newInstance();
    actor.setMapper(mapper);
    actor.addTexture(atlas);
    actor.setForceOpaque(true);
    renderer.addActor(actor);
    return actor;
  }
}

class Picture {
  constructor(box) {
    this.box = box;
    this.vtk = window.vtk;
    this.data = {};
    this.year = 0;
    this.season = 'leaf';
    this.camera = { position: [0, -30, 20], focal: [0, 0, 0], up: [0, 0, 1], angle: 40 };
    this.view = -1;
    this.ms = 0;
    this.failed = '';
    this.onready = () => {};
    if (!document.createElement('canvas').getContext('webgl2')) this.failed = 'no webgl';
    else {
      this.open();
      this.controls = new Orbit(this);
      this.watch = new ResizeObserver(() => this.resize());
      this.watch.observe(box);
    }
  }

  /* A new drawing context; also after the browser has taken the old one away. */
  open() {
    const { vtk } = this;
    this.window = vtk.Rendering.Misc.vtkGenericRenderWindow.newInstance({ listenWindowResize: false });
    this.window.setContainer(this.box);
    this.window.getInteractor().unbindEvents();
    this.renderer = this.window.getRenderer();
    this.renderer.setBackground(0, 0, 0, 0);
    this.renderer.removeAllLights();
    this.renderer.addLight(vtk.Rendering.Core.vtkLight.newInstance({ lightType: 'SceneLight' }));
    this.gl = this.window.getRenderWindow().getViews()[0];
    const canvas = this.gl.getCanvas();
    canvas.style.display = 'block';
    canvas.addEventListener('webglcontextlost', (e) => e.preventDefault());
    canvas.addEventListener('webglcontextrestored', () => this.reopen());
    this.actors = {};
    this.groups = [];
    this.ready = false;
  }

  reopen() {
    this.window.delete();
    this.box.replaceChildren();
    this.open();
    const { data } = this;
    this.data = {};
    this.load(data);
  }

  /* Takes all or some of the stage's parts; the camera stays where it is. */
  load(parts) {
    const first = !this.data.views;
    this.data = { ...this.data, ...parts };
    if (this.failed) return;
    if (parts.sun) this.sun = parts.sun;
    if (parts.hard) this.show('hard', this.surfaceActor(parts.hard));
    if (parts.ground) this.loadGround(parts.ground);
    if (parts.kinds) this.atlas = this.texture(parts.kinds.atlas, 'image/png');
    if (parts.far) this.loadFar(parts.far);
    if (parts.kinds || parts.plants) this.loadPlants();
    this.middle = middleOf(this.data.ground.points);
    if (first && parts.views) this.look(Math.max(0, parts.views.views.length - 2));
    this.setYear(this.year);
  }

  show(name, actor) {
    if (this.actors[name]) this.drop(this.actors[name]);
    this.actors[name] = actor;
    this.renderer.addActor(actor);
  }

  /* Removes an actor and what it holds on the graphics card (vtk.js does not by itself). */
  drop(actor) {
    const node = this.gl.getViewNodeFor(actor.getMapper());
    node?.getReferenceByName('primitives')?.forEach((p) => p.releaseGraphicsResources(this.gl));
    for (const name of ['matrixBuffer', 'normalBuffer', 'colorBuffer', 'pickBuffer'])
      node?.getReferenceByName(name)?.releaseGraphicsResources();
    this.renderer.removeActor(actor);
    actor.delete();
  }

  surfaceActor(surface) {
    const mapper = this.vtk.Rendering.Core.vtkMapper.newInstance();
    mapper.setInputData(surfaceMesh(this.vtk, surface));
    mapper.setScalarVisibility(Boolean(surface.colours));
    mapper.setColorModeToDirectScalars();
    const actor = this.vtk.Rendering.Core.vtkActor.newInstance();
    actor.setMapper(mapper);
    actor.getProperty().setLighting(false);
    return actor;
  }

  texture(bytes, type) {
    const texture = this.vtk.Rendering.Core.vtkTexture.newInstance();
    texture.setInterpolate(true);
    const image = new Image();
    const url = URL.createObjectURL(new Blob([bytes], { type }));
    this.waiting = (this.waiting || 0) + 1;
    image.onload = () => {
      texture.setImage(image);
      URL.revokeObjectURL(url);
      this.waiting -= 1;
      this.need();
    };
    image.src = url;
    return texture;
  }

  loadGround(ground) {
    const actor = this.surfaceActor(ground);
    actor.addTexture(this.texture(ground.picture, 'image/jpeg'));
    this.shade = new Shade(this, ground);
    actor.addTexture(this.shade.texture);
    actor.getMapper().setViewSpecificProperties({ OpenGL: { ShaderReplacements: groundShaders() } });
    this.show('ground', actor);
  }

  loadFar(far) {
    this.show('land', this.surfaceActor(far.land));
    this.trees = new Group(this, { leaf: far.trees.mesh }, far.trees.size.length);
    const { foot, yaw, colours, size } = far.trees;
    size.forEach((s, i) => this.trees.add(foot, yaw, colours, i, s, s));
    this.trees.done('leaf');
  }

  loadPlants() {
    this.groups.flat().forEach((g) => Object.values(g.actors).forEach((a) => this.drop(a)));
    const counts = new Map();
    this.data.plants.kind.forEach((k) => counts.set(k, (counts.get(k) || 0) + 1));
    this.groups = this.data.kinds.kinds.map((stages, k) =>
      stages.map((stage) => new Group(this, stage, counts.get(k) || 0)),
    );
    this.bulks = this.data.kinds.kinds.map((stages) => stages.map((s) => Math.cbrt(s.height * s.spread ** 2)));
  }

  /* Sizes of all plants at a year, also between whole years; drawn with the next frame. */
  setYear(year) {
    const start = performance.now();
    this.year = year;
    const { plants, sizes } = this.data;
    if (this.failed || !plants || !sizes) return 0;
    const count = plants.kind.length;
    const last = sizes.years.length - 1;
    const low = Math.min(Math.max(Math.floor(year), 0), last);
    const share = Math.min(Math.max(year - low, 0), 1);
    const from = low * count;
    const to = Math.min(low + 1, last) * count;
    this.now = this.now?.length === 2 * count ? this.now : new Float32Array(2 * count);
    const colours = this.season === 'bare' ? plants.coloursBare : plants.colours;
    this.groups.forEach((stages) => stages.forEach((g) => (g.count = 0)));
    for (let i = 0; i < count; i++) {
      const high = between(sizes.height[from + i], sizes.height[to + i], share);
      const wide = between(sizes.spread[from + i], sizes.spread[to + i], share);
      this.now[2 * i] = high;
      this.now[2 * i + 1] = wide;
      if (high > 0) {
        const k = plants.kind[i];
        const group = this.groups[k][nearest(this.bulks[k], Math.cbrt(high * wide * wide))];
        group.add(plants.foot, plants.yaw, colours, i, wide / group.stage.spread, high / group.stage.height);
      }
    }
    this.groups.forEach((stages) => stages.forEach((g) => g.done(this.season)));
    this.shaded = false;
    this.ms = performance.now() - start;
    this.need();
    return this.ms;
  }

  setSeason(season) {
    this.season = season;
    this.setYear(this.year);
  }

  look(i) {
    const view = this.data.views.views[i];
    if (!view) return;
    this.view = i;
    this.camera = { position: [...view.eye], focal: [...view.focal], up: [...view.up], angle: view.angle };
    this.need();
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
    if (!this.data.ground || this.waiting) return;
    this.aim();
    if (!this.shaded) this.shade?.paint(this.data.plants, this.now, this.sun, this.season);
    this.shaded = true;
    this.window.getRenderWindow().render();
    this.shade?.upload();
    if (!this.ready) {
      this.ready = true;
      this.resize();
      this.onready();
    }
  }

  /* Camera of vtk from ours; the sky behind the clear canvas follows the horizon. */
  aim() {
    const { position, focal, up, angle } = this.camera;
    const shape = this.box.clientWidth / Math.max(this.box.clientHeight, 1);
    const half = Math.tan((angle * Math.PI) / 360) * Math.max(1, shape / WIDE);
    const camera = this.renderer.getActiveCamera();
    camera.setPosition(...position);
    camera.setFocalPoint(...focal);
    camera.setViewUp(...up);
    camera.setUseHorizontalViewAngle(false);
    camera.setViewAngle((Math.atan(half / shape) * 360) / Math.PI);
    const reach = Math.hypot(...position.map((p, k) => p - this.middle[k]));
    camera.setClippingRange(Math.max(0.15, (reach - 60) * 0.5), reach + 1100);
    const [dx, dy, dz] = focal.map((f, k) => f - position[k]);
    const fall = -dz / Math.max(Math.hypot(dx, dy), 1e-6);
    const horizon = 50 - (50 * fall) / (half / shape);
    this.box.style.background = `linear-gradient(to bottom, #5f93cd ${horizon - 110}%, #9dbfe0 ${horizon - 38}%, #dbe5ea ${horizon}%)`;
  }

  resize() {
    if (this.failed) return;
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    this.gl.setSize(Math.max(1, Math.floor(this.box.clientWidth * ratio)), Math.max(1, Math.floor(this.box.clientHeight * ratio)));
    this.need();
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

/* Soft shade of this year's plants, painted from above and laid over the ground. */
class Shade {
  constructor(picture, ground) {
    this.picture = picture;
    const xs = ground.points.filter((_, i) => i % 3 === 0);
    const ys = ground.points.filter((_, i) => i % 3 === 1);
    this.west = xs.reduce((a, b) => Math.min(a, b));
    this.south = ys.reduce((a, b) => Math.min(a, b));
    this.wide = xs.reduce((a, b) => Math.max(a, b)) - this.west;
    this.deep = ys.reduce((a, b) => Math.max(a, b)) - this.south;
    this.canvas = document.createElement('canvas');
    this.canvas.width = 512;
    this.canvas.height = 512;
    this.pen = this.canvas.getContext('2d', { willReadFrequently: true });
    this.texture = picture.vtk.Rendering.Core.vtkTexture.newInstance();
    this.texture.setInterpolate(true);
    this.texture.setEdgeClamp(true);
    this.texture.setCanvas(this.canvas);
    this.spot = spot(0.55);
    this.pool = spot(0.15);
  }

  paint(plants, now, sun) {
    const { pen, canvas } = this;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.clearRect(0, 0, canvas.width, canvas.height);
    const cot = Math.hypot(sun.towards[0], sun.towards[1]) / sun.towards[2];
    const away = Math.atan2(-sun.towards[1], -sun.towards[0]);
    for (let i = 0; i < plants.kind.length; i++) {
      const high = now[2 * i];
      const wide = now[2 * i + 1];
      if (high <= 0) continue;
      const [x, y] = [plants.foot[3 * i], plants.foot[3 * i + 1]];
      this.blot(this.pool, x, y, 0, 0.62 * wide, 0.62 * wide, 0.55);
      const lift = 0.58 * high;
      const long = Math.hypot(wide / 2, 0.36 * high * cot);
      this.blot(this.spot, x + Math.cos(away) * lift * cot, y + Math.sin(away) * lift * cot, away, long, wide / 2, 0.6);
    }
    this.fresh = true;
  }

  blot(image, x, y, turn, long, across, strength) {
    const { pen, canvas } = this;
    const [sx, sy] = [canvas.width / this.wide, canvas.height / this.deep];
    pen.setTransform(sx, 0, 0, -sy, (x - this.west) * sx, canvas.height - (y - this.south) * sy);
    pen.rotate(turn);
    pen.globalAlpha = strength;
    pen.drawImage(image, -long, -across, 2 * long, 2 * across);
  }

  upload() {
    if (!this.fresh) return;
    const handle = this.picture.gl.getViewNodeFor(this.texture)?.getHandle();
    if (!handle) return;
    this.fresh = false;
    const gl = this.picture.gl.getContext();
    gl.bindTexture(gl.TEXTURE_2D, handle);
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, true);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, gl.RGBA, gl.UNSIGNED_BYTE, this.canvas);
    gl.generateMipmap(gl.TEXTURE_2D);
    gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
    this.picture.need();
  }
}

/* A round dark spot with a soft rim from `core` of its radius outwards. */
function spot(core) {
  const canvas = document.createElement('canvas');
  canvas.width = 64;
  canvas.height = 64;
  const pen = canvas.getContext('2d');
  const fall = pen.createRadialGradient(32, 32, 32 * core, 32, 32, 32);
  fall.addColorStop(0, 'rgba(0,0,0,1)');
  fall.addColorStop(1, 'rgba(0,0,0,0)');
  pen.fillStyle = fall;
  pen.fillRect(0, 0, 64, 64);
  return canvas;
}

/* Pointer, wheel and keys turn, move and near the camera; the horizon stays level. */
class Orbit {
  constructor(picture) {
    this.picture = picture;
    this.held = new Map();
    const { box } = picture;
    if (box.tabIndex < 0) box.tabIndex = 0;
    box.style.touchAction = 'none';
    box.addEventListener('pointerdown', (e) => this.press(e));
    box.addEventListener('pointermove', (e) => this.move(e));
    for (const end of ['pointerup', 'pointercancel']) box.addEventListener(end, (e) => this.held.delete(e.pointerId));
    box.addEventListener('wheel', (e) => this.wheel(e), { passive: false });
    box.addEventListener('keydown', (e) => this.key(e));
    box.addEventListener('contextmenu', (e) => e.preventDefault());
  }

  press(e) {
    this.held.set(e.pointerId, [e.clientX, e.clientY]);
    this.picture.box.setPointerCapture(e.pointerId);
    this.picture.box.focus({ preventScroll: true });
  }

  move(e) {
    const before = this.held.get(e.pointerId);
    if (!before) return;
    const now = [e.clientX, e.clientY];
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    const other = [...this.held].find(([id]) => id !== e.pointerId)?.[1];
    this.held.set(e.pointerId, now);
    if (other) {
      this.near(Math.hypot(before[0] - other[0], before[1] - other[1]) / Math.max(Math.hypot(now[0] - other[0], now[1] - other[1]), 1));
      this.pan(dx / 2, dy / 2);
    } else if (e.shiftKey || e.buttons & 6) this.pan(dx, dy);
    else this.turn(-dx * 0.006, dy * 0.006);
  }

  wheel(e) {
    e.preventDefault();
    this.near(Math.exp(Math.max(-1, Math.min(1, e.deltaY * 0.0012))));
  }

  key(e) {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (step && e.shiftKey) this.pan(-step[0] * 30, step[1] * 30);
    else if (step) this.turn(step[0] * 0.08, step[1] * 0.08);
    else if (e.key === '+' || e.key === '=') this.near(0.88);
    else if (e.key === '-') this.near(1.14);
    else if (e.key === 'Home') this.picture.look(this.picture.view);
    else return;
    e.preventDefault();
    e.stopPropagation();
  }

  /* Camera as azimuth, height angle and distance about its focal point. */
  polar() {
    const { position, focal } = this.picture.camera;
    const [x, y, z] = position.map((p, k) => p - focal[k]);
    const distance = Math.hypot(x, y, z);
    const level = Math.hypot(x, y);
    const azimuth = level < 1e-3 * distance ? -Math.PI / 2 : Math.atan2(y, x);
    return { azimuth, height: Math.atan2(z, level), distance };
  }

  place(azimuth, height, distance) {
    const { camera } = this.picture;
    const h = Math.min(Math.max(height, -0.35), 1.54);
    const flat = Math.cos(h) * distance;
    camera.position = [
      camera.focal[0] + flat * Math.cos(azimuth),
      camera.focal[1] + flat * Math.sin(azimuth),
      camera.focal[2] + Math.sin(h) * distance,
    ];
    camera.up = [0, 0, 1];
    this.picture.need();
  }

  turn(by, up) {
    const { azimuth, height, distance } = this.polar();
    this.place(azimuth + by, height + up, distance);
  }

  near(factor) {
    const { azimuth, height, distance } = this.polar();
    this.place(azimuth, height, Math.min(Math.max(distance * factor, 1.5), 600));
  }

  pan(dx, dy) {
    const { camera, box } = this.picture;
    const { azimuth, distance } = this.polar();
    const metres = (2 * distance * Math.tan((camera.angle * Math.PI) / 360)) / Math.max(box.clientWidth, 1);
    const right = [-Math.sin(azimuth), Math.cos(azimuth)];
    const ahead = [-Math.cos(azimuth), -Math.sin(azimuth)];
    for (let k = 0; k < 2; k++) {
      const move = metres * (-dx * right[k] + dy * ahead[k]);
      camera.focal[k] += move;
      camera.position[k] += move;
    }
    this.picture.need();
  }
}
