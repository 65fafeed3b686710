/* Light on the ground from above: what sun and sky are left to each spot by this year's crowns,
   by what is built and by the ground itself. Drawn by the graphics card on a canvas of its own:
   red is the share of the sun, green that of the sky. A sun line's way through a crown is closed
   form, the sums are those of growth/beams.py; where crowns overlap, the denser leaf counts once.
   Needs shaders.js and overlaps.js before it. */

const SPOT_M = 0.06; // of the ground a pixel, where that gives no more pixels than these
const MOST_SPOTS = 1024;
const LEAST_SPOTS = 256;
const DEPTH_PIXELS = 2048;
const STEEPEST = 60; // metres along for a metre of rise: a sun lower than this is drawn as if there
const MOST_PIECES = 3; // as in viz/months.py
const CROWN_NUMBERS = 16; // foot, height | spread, base, kind, density | denser neighbours, eight

/* A drawing context for shade, kept as long as the browser lets it live. */
class ShadeTools {
  constructor() {
    this.canvas = document.createElement("canvas");
    this.gl = this.canvas.getContext("webgl2", { alpha: false, antialias: false, depth: false, preserveDrawingBuffer: true });
    if (!this.gl) return;
    this.programs = Object.fromEntries(Object.entries(SHADE_SHADERS).map(([name, [vertex, fragment]]) => [name, this.program(vertex, fragment)]));
    this.crowns = this.gl.createBuffer();
    this.triangles = this.gl.createBuffer();
    this.depth = this.makeDepth();
  }

  get lost() {
    return !this.gl || this.gl.isContextLost();
  }

  program(vertex, fragment) {
    const { gl } = this;
    const program = gl.createProgram();
    for (const [type, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
      const shader = gl.createShader(type);
      gl.shaderSource(shader, `#version 300 es\nprecision highp float;\nprecision highp sampler2DShadow;\n${text}`);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    const places = {};
    const uniform = (name) => (places[name] ??= gl.getUniformLocation(program, name));
    return { program, uniform };
  }

  texture(inside, wide, high, format, type, data, filter) {
    const { gl } = this;
    const texture = gl.createTexture();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texImage2D(gl.TEXTURE_2D, 0, inside, wide, high, 0, format, type, data);
    for (const side of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, side, filter);
    for (const side of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T]) gl.texParameteri(gl.TEXTURE_2D, side, gl.CLAMP_TO_EDGE);
    return texture;
  }

  /* Numbers by column and row, not smoothed. */
  numbers(wide, high, data, each) {
    const { gl } = this;
    return each === 1
      ? this.texture(gl.R32F, wide, high, gl.RED, gl.FLOAT, data, gl.NEAREST)
      : this.texture(gl.RGBA32F, wide, high, gl.RGBA, gl.FLOAT, data, gl.NEAREST);
  }

  makeDepth() {
    const { gl } = this;
    const texture = this.texture(gl.DEPTH_COMPONENT24, DEPTH_PIXELS, DEPTH_PIXELS, gl.DEPTH_COMPONENT, gl.UNSIGNED_INT, null, gl.LINEAR);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_COMPARE_MODE, gl.COMPARE_REF_TO_TEXTURE);
    return { texture, frame: this.frame(gl.DEPTH_ATTACHMENT, texture) };
  }

  frame(attachment, texture) {
    const { gl } = this;
    const frame = gl.createFramebuffer();
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, attachment, gl.TEXTURE_2D, texture, 0);
    return frame;
  }

  bind(unit, texture) {
    this.gl.activeTexture(this.gl.TEXTURE0 + unit);
    this.gl.bindTexture(this.gl.TEXTURE_2D, texture);
  }
}

class Shade {
  constructor(picture, ground) {
    this.picture = picture;
    this.ground = ground;
    this.lay();
    const longest = Math.max(this.wide, this.deep);
    const spots = Math.min(Math.max(Math.round(longest / SPOT_M), LEAST_SPOTS), MOST_SPOTS);
    this.size = [this.wide, this.deep].map((length) => Math.max(2, Math.round((spots * length) / longest)));
    this.texture = picture.vtk.Rendering.Core.vtkTexture.newInstance();
    this.texture.setInterpolate(true);
    this.texture.setEdgeClamp(true);
    this.texture.setCanvas(this.blank());
  }

  /* Where the ground lies, and how high. */
  lay() {
    const [low, high] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
    const { points } = this.ground;
    for (let i = 0; i < points.length; i++) {
      const k = i % 3;
      if (points[i] < low[k]) low[k] = points[i];
      if (points[i] > high[k]) high[k] = points[i];
    }
    [this.west, this.south, this.lowest] = low;
    [this.wide, this.deep, this.rise] = high.map((value, k) => value - low[k]);
  }

  /* Full light, until the first shade is drawn. */
  blank() {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = this.size;
    const pen = canvas.getContext("2d");
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, ...this.size);
    return canvas;
  }

  /* Shade at a light and the year's sizes; what only moves with the sun is kept. */
  paint() {
    const { data, light, month, now } = this.picture;
    if (!now) return;
    this.ready();
    if (this.tools.lost) return;
    if (this.stood !== light || this.hard !== data.hard) this.stand(light, data.hard);
    this.show(light, this.fill(data, month, now));
    this.fresh = Boolean(placeOf(this.picture, this.texture));
    if (!this.fresh) this.texture.setCanvas(this.canvas); // sent by vtk.js with the frame it draws next
  }

  /* Tools that live, with the ground laid out in them; they are shared by all shades there are. */
  ready() {
    const { picture } = this;
    if (!picture.shadeTools || (picture.shadeTools.gl && picture.shadeTools.lost)) picture.shadeTools = new ShadeTools();
    const tools = picture.shadeTools;
    if (this.tools === tools && tools.shade === this) return;
    tools.shade?.free();
    this.tools = tools;
    tools.shade = this;
    this.stood = null;
    if (tools.lost) return;
    const { gl } = tools;
    [tools.canvas.width, tools.canvas.height] = this.size;
    this.canvas = tools.canvas;
    this.heights = tools.numbers(...this.size, heightsOf(this), 1);
    this.standing = tools.texture(gl.RGBA8, ...this.size, gl.RGBA, gl.UNSIGNED_BYTE, null, gl.NEAREST);
    this.frame = tools.frame(gl.COLOR_ATTACHMENT0, this.standing);
    this.pieces = this.table = null;
  }

  /* Gives back what it holds on the graphics card. */
  free() {
    const { gl } = this.tools;
    for (const texture of [this.heights, this.standing, this.pieces?.texture, this.table?.texture]) gl.deleteTexture(texture ?? null);
    gl.deleteFramebuffer(this.frame ?? null);
  }

  /* Takes a program into use with what all of them want to know. */
  use(name, light) {
    const { gl, programs } = this.tools;
    const { program, uniform } = programs[name];
    gl.useProgram(program);
    gl.uniform4f(uniform("ground"), this.west, this.south, this.wide, this.deep);
    gl.uniform2f(uniform("levels"), this.lowest, this.lowest + this.rise);
    gl.uniform3f(uniform("towards"), ...low(light.towards));
    gl.uniform2f(uniform("size"), ...this.size);
    gl.uniform1i(uniform("heights"), 0);
    gl.uniform1i(uniform("other"), 1);
    gl.uniform1i(uniform("table"), 2);
    this.tools.bind(0, this.heights);
    return uniform;
  }

  /* Shade of what does not grow, for one sun. */
  stand(light, hard) {
    const { gl } = this.tools;
    if (this.hard !== hard || !this.sorted) this.sorted = sortedCasters(this.ground, hard);
    [this.stood, this.hard] = [light, hard];
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.frame);
    gl.viewport(0, 0, ...this.size);
    gl.clearColor(light.up ? 1 : 0, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT);
    if (!light.up) return;
    const box = sheared(this, light.towards, this.sorted.top);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.tools.triangles);
    gl.bufferData(gl.ARRAY_BUFFER, this.sorted.corners, gl.STATIC_DRAW);
    for (const run of this.sorted.runs) this.cast(run, light, box);
  }

  /* What one run of triangles leaves of the sun. */
  cast({ first, count, through }, light, box) {
    const { gl, depth } = this.tools;
    gl.disable(gl.BLEND);
    gl.bindFramebuffer(gl.FRAMEBUFFER, depth.frame);
    gl.viewport(0, 0, DEPTH_PIXELS, DEPTH_PIXELS);
    gl.enable(gl.DEPTH_TEST);
    gl.clear(gl.DEPTH_BUFFER_BIT);
    this.sendBox(this.use("depth", light), box);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 0, 0);
    gl.vertexAttribDivisor(0, 0);
    gl.disableVertexAttribArray(1);
    gl.drawArrays(gl.TRIANGLES, first, count);
    gl.disable(gl.DEPTH_TEST);
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.frame);
    gl.viewport(0, 0, ...this.size);
    const uniform = this.use("standing", light);
    this.sendBox(uniform, box);
    gl.uniform1f(uniform("through"), through);
    this.tools.bind(1, depth.texture);
    this.multiply();
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  sendBox(uniform, { shear, corner, lengths, zero, span }) {
    const { gl } = this.tools;
    gl.uniform2f(uniform("shear"), ...shear);
    gl.uniform4f(uniform("box"), ...corner, ...lengths);
    gl.uniform2f(uniform("reach"), zero, span);
  }

  multiply() {
    const { gl } = this.tools;
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.ZERO, gl.SRC_COLOR);
  }

  /* Crowns of a year and month, as shaders.js has them, each with its denser neighbours. */
  fill({ plants, months, sizes }, month, now) {
    const { kind, foot } = plants;
    const kinds = months.pieces.length / (5 * MOST_PIECES);
    if (this.pieces && this.pieces.of !== months) this.tools.gl.deleteTexture(this.pieces.texture);
    if (this.pieces?.of !== months) this.pieces = { of: months, texture: this.tools.numbers(2 * MOST_PIECES, Math.max(kinds, 1), paddedPieces(months.pieces, kinds), 4) };
    const row = Math.min(Math.max(Math.round(this.picture.year), 0), sizes.years.length - 1) * kind.length;
    const crowns = new Float32Array(CROWN_NUMBERS * kind.length);
    const slots = new Int32Array(kind.length).fill(-1);
    let count = 0;
    for (let i = 0; i < kind.length; i++) {
      if (now[2 * i] <= 0) continue;
      slots[i] = count;
      crowns.set([foot[3 * i], foot[3 * i + 1], foot[3 * i + 2], now[2 * i], now[2 * i + 1],
        (sizes.base[row + i] / 255) * now[2 * i], kind[i], months.density[month * kinds + kind[i]]], CROWN_NUMBERS * count++);
    }
    if (this.overlaps?.plants !== plants || this.overlaps.sizes !== sizes) this.overlaps = new Overlaps(plants, sizes);
    this.overlaps.tell(crowns, { each: CROWN_NUMBERS, to: 8, slots });
    return crowns.subarray(0, CROWN_NUMBERS * count);
  }

  show(light, crowns) {
    const { gl } = this.tools;
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, ...this.size);
    gl.disable(gl.BLEND);
    this.use("copy", light);
    this.tools.bind(1, this.standing);
    gl.disableVertexAttribArray(0);
    gl.disableVertexAttribArray(1);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.tools.crowns);
    gl.bufferData(gl.ARRAY_BUFFER, crowns, gl.DYNAMIC_DRAW);
    this.tabulate(crowns);
    for (const at of [0, 1, 2, 3]) {
      gl.enableVertexAttribArray(at);
      gl.vertexAttribPointer(at, 4, gl.FLOAT, false, 4 * CROWN_NUMBERS, 16 * at);
      gl.vertexAttribDivisor(at, 1);
    }
    this.multiply();
    for (const name of light.up ? ["pool", "crown"] : ["pool"]) {
      this.use(name, light);
      this.tools.bind(1, this.pieces.texture);
      this.tools.bind(2, this.table.texture);
      gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, crowns.length / CROWN_NUMBERS);
    }
    for (const at of [2, 3]) gl.disableVertexAttribArray(at);
  }

  /* The crowns as a table that any crown's shade can look into. */
  tabulate(crowns) {
    const { gl } = this.tools;
    const [wide, rows] = [(CROWNS_A_ROW * CROWN_NUMBERS) / 4, Math.max(1, Math.ceil(crowns.length / CROWN_NUMBERS / CROWNS_A_ROW))];
    if (!this.table || this.table.rows < rows) {
      gl.deleteTexture(this.table?.texture ?? null);
      this.table = { rows, texture: this.tools.numbers(wide, rows, null, 4) };
    }
    const padded = new Float32Array(4 * wide * rows);
    padded.set(crowns);
    this.tools.bind(2, this.table.texture);
    gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, wide, rows, gl.RGBA, gl.FLOAT, padded);
  }

  /* Whether there was something new, which is on the graphics card now. */
  upload() {
    const sent = Boolean(this.fresh && uploadCanvas(this.picture, this));
    if (sent) this.fresh = false;
    return sent;
  }

  /* Share of the sun, 0 to 255, at each spot, from the south-west row by row. */
  sunShares() {
    const { gl } = this.tools;
    const spots = new Uint8Array(4 * this.size[0] * this.size[1]);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.readPixels(0, 0, ...this.size, gl.RGBA, gl.UNSIGNED_BYTE, spots);
    return spots.filter((_, i) => i % 4 === 0);
  }
}

/* A direction to the sun that is not too low to draw. */
const low = ([x, y, z]) => [x, y, Math.max(z, Math.hypot(x, y) / STEEPEST)];

/* Height of the ground at the middle of every spot, the southern row first. */
function heightsOf({ ground, size, west, south, wide, deep }) {
  const { points } = ground;
  let columns = 1;
  while (columns < points.length / 3 && points[3 * columns + 1] === points[1]) columns++;
  const rows = points.length / 3 / columns;
  const along = (count, start, length, step, offset) => {
    let before = 0;
    return Array.from({ length: count }, (_, n) => {
      const at = start + ((n + 0.5) / count) * length;
      const last = (offset ? rows : columns) - 2;
      while (before < last && points[3 * step * (before + 1) + offset] < at) before++;
      const from = points[3 * step * before + offset];
      return [before, (at - from) / (points[3 * step * (before + 1) + offset] - from)];
    });
  };
  const across = along(size[0], west, wide, 1, 0);
  const heights = new Float32Array(size[0] * size[1]);
  along(size[1], south, deep, columns, 1).forEach(([row, v], n) => across.forEach(([column, u], m) => {
    const z = (r, c) => points[3 * ((row + r) * columns + column + c) + 2];
    heights[n * size[0] + m] = (1 - v) * ((1 - u) * z(0, 0) + u * z(0, 1)) + v * ((1 - u) * z(1, 0) + u * z(1, 1));
  }));
  return heights;
}

/* Triangles that cast shade: the ground and what is solid, then runs of what lets some through. */
function sortedCasters({ points, triangles }, { casters, through, run }) {
  const corners = new Float32Array(3 * triangles.length + casters.length);
  for (let i = 0; i < triangles.length; i++) for (let k = 0; k < 3; k++) corners[3 * i + k] = points[3 * triangles[i] + k];
  corners.set(casters, 3 * triangles.length);
  const runs = [{ first: 0, count: triangles.length, through: 0 }];
  let first = triangles.length;
  for (let n = 0; n < run.length; n++) {
    if (through[n] === 0) runs[0].count += 3 * run[n];
    else runs.push({ first, count: 3 * run[n], through: through[n] });
    first += 3 * run[n];
  }
  let top = -Infinity;
  for (let i = 2; i < corners.length; i += 3) top = Math.max(top, corners[i]);
  return { corners, runs, top };
}

/* The ground's box pushed along the sun's lines onto its lowest level: what the depths cover. */
function sheared({ west, south, wide, deep, lowest, rise }, towards, top) {
  const [x, y, z] = low(towards);
  const shear = [x / z, y / z];
  const push = shear.map((each) => -each * rise);
  const corner = [west + Math.min(0, push[0]), south + Math.min(0, push[1])];
  return { shear, corner, lengths: [wide + Math.abs(push[0]), deep + Math.abs(push[1])], zero: lowest - 0.5, span: top - lowest + 1 };
}

/* Pieces of five numbers on two places of four. */
function paddedPieces(pieces, kinds) {
  const padded = new Float32Array(8 * MOST_PIECES * Math.max(kinds, 1));
  for (let n = 0; n < kinds * MOST_PIECES; n++) padded.set(pieces.subarray(5 * n, 5 * n + 5), 8 * n);
  return padded;
}

/* A texture's place on the graphics card, once vtk.js has made one. */
const placeOf = (picture, texture) => picture.gl.getViewNodeFor(texture)?.getHandle();

/* Sends a canvas to the graphics card; false while vtk.js has no place for it. */
function uploadCanvas(picture, { texture, canvas }, { premultiplied = false } = {}) {
  const handle = placeOf(picture, texture);
  if (!handle) return false;
  const gl = picture.gl.getContext();
  gl.activeTexture(gl.TEXTURE0); // not the leaves'
  gl.bindTexture(gl.TEXTURE_2D, handle);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, true);
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, premultiplied);
  gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, gl.RGBA, gl.UNSIGNED_BYTE, canvas);
  gl.generateMipmap(gl.TEXTURE_2D);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
  return true;
}
