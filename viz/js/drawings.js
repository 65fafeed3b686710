/* What vtk.js draws: meshes from Stage's arrays, and groups of plants that share one drawing. */

const MOST_TINT = 4; // as in viz/stage.py
const LEAF_UNIT = 15; // texture unit of the leaf atlas; vtk.js takes its own from 0 upwards

/* Loops, not Float32Array.from with a function: ten times as quick over a million numbers. */
function scaled(numbers, factor) {
  const floats = new Float32Array(numbers.length);
  for (let i = 0; i < numbers.length; i++) floats[i] = numbers[i] * factor;
  return floats;
}

const MESHES = new WeakMap(); // made once for all pictures that show them

const meshOf = (vtk, packed) => {
  if (!MESHES.has(packed)) MESHES.set(packed, plantMesh(vtk, packed));
  return MESHES.get(packed);
};

/* Drawn plant in small whole numbers -> vtk polydata; four corners a piece, in order. */
function plantMesh(vtk, packed) {
  const mesh = vtk.Common.DataModel.vtkPolyData.newInstance();
  mesh.getPoints().setData(scaled(packed.points, packed.reach / 32767), 3);
  mesh.getPolys().setData(faces(counted(packed.points.length / 3), 4), 1);
  const data = mesh.getPointData();
  data.setNormals(column(vtk, 'normals', 3, scaled(packed.normals, 1 / 127)));
  data.addArray(column(vtk, 'leaf', 2, scaled(packed.tcoords, 1 / 65535)));
  const tint = scaled(packed.tint, 1 / 255);
  for (let i = 0; i < tint.length; i++) if (i % 4 !== 3) tint[i] *= MOST_TINT * tint[i];
  data.addArray(column(vtk, 'tint', 4, tint));
  return mesh;
}

/* The leaf atlas on the graphics card, once for all drawings: vtk.js would upload a copy an actor. */
function keepLeaves(gl, image) {
  gl.activeTexture(gl.TEXTURE0 + LEAF_UNIT);
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, image);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR); // smaller copies would close the gaps between leaves
}

/* Frees what an actor holds on the graphics card, which vtk.js does not by itself; `kept` is
   a texture that others use. */
function release(gl, actor, kept) {
  const node = gl.getViewNodeFor(actor.getMapper());
  node?.getReferenceByName('primitives')?.forEach((p) => p.releaseGraphicsResources(gl));
  for (const name of ['matrixBuffer', 'normalBuffer', 'colorBuffer', 'pickBuffer'])
    node?.getReferenceByName(name)?.releaseGraphicsResources();
  for (const texture of actor.getTextures()) if (texture !== kept) gl.getViewNodeFor(texture)?.releaseGraphicsResources(gl);
}

/* How many plants there are of each kind. */
function countsOf(kinds) {
  const counts = new Map();
  kinds.forEach((k) => counts.set(k, (counts.get(k) || 0) + 1));
  return counts;
}

function column(vtk, name, numberOfComponents, values) {
  return vtk.Common.Core.vtkDataArray.newInstance({ name, numberOfComponents, values });
}

/* 0, 1, 2 and so on. */
function counted(count) {
  const numbers = new Uint32Array(count);
  for (let i = 0; i < count; i++) numbers[i] = i;
  return numbers;
}

/* Corners of faces as vtk wants them: each face led by the number of its corners. */
function faces(corners, each) {
  const cells = new Uint32Array((corners.length / each) * (each + 1));
  for (let from = 0, to = 0; from < corners.length; ) {
    cells[to++] = each;
    for (let k = 0; k < each; k++) cells[to++] = corners[from++];
  }
  return cells;
}

/* Triangles with colours or texture places -> vtk polydata. */
function surfaceMesh(vtk, surface) {
  const mesh = vtk.Common.DataModel.vtkPolyData.newInstance();
  mesh.getPoints().setData(Float32Array.from(surface.points), 3);
  mesh.getPolys().setData(faces(surface.triangles, 3), 1);
  const data = mesh.getPointData();
  if (surface.tcoords) data.setTCoords(column(vtk, 'tcoords', 2, Float32Array.from(surface.tcoords)));
  if (surface.colours) data.setScalars(column(vtk, 'rgb', 3, Uint8Array.from(surface.colours)));
  if (surface.reach) data.addArray(column(vtk, 'reach', 2, scaled(surface.reach, 1 / 255)));
  return mesh;
}

/* Plants of one drawing: a point set with place, turn, size and colour that can shrink and grow. */
class Group {
  constructor(picture, stage, most) {
    this.picture = picture;
    this.stage = stage;
    this.count = 0;
    this.most = most;
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

  /* Hands the filled part of the buffers to vtk and shows a look: leaf, flowers or bare. */
  done(look) {
    const n = 3 * this.count;
    this.points.getPoints().setData(this.place.subarray(0, n), 3);
    this.columns[0].setData(this.turn.subarray(0, n), 3);
    this.columns[1].setData(this.size.subarray(0, n), 3);
    this.scalars.setData(this.colour.subarray(0, n), 3);
    this.points.modified();
    const shown = this.drawn(look);
    shown.forEach((name) => this.prepare(name));
    for (const [name, actor] of Object.entries(this.actors)) actor.setVisibility(this.count > 0 && shown.includes(name));
    this.triangles = this.count * shown.reduce((sum, name) => sum + this.stage[name].points.length / 6, 0);
  }

  /* The drawings that make a look; what never goes bare keeps its leaves. */
  drawn(look) {
    if (look === 'bare' && this.stage.bare) return ['bare'];
    return look === 'flowers' && this.stage.flowers ? ['leaf', 'flowers'] : ['leaf'];
  }

  /* A drawing, made once. */
  prepare(name) {
    this.actors[name] ??= this.actor(this.stage[name]);
  }

  actor(packed) {
    const { vtk, renderer } = this.picture;
    const mapper = vtk.Rendering.Core.vtkGlyph3DMapper.newInstance({ orient: true, scaling: true });
    mapper.setInputData(this.points, 0);
    mapper.setInputData(meshOf(vtk, packed), 1);
    mapper.setOrientationArray('turn');
    mapper.setOrientationModeToRotation();
    mapper.setScaleArray('size');
    mapper.setScaleModeToScaleByComponents();
    mapper.setColorModeToDirectScalars();
    mapper.setCustomShaderAttributes(['tint', 'leaf']);
    mapper.setViewSpecificProperties({
      OpenGL: { ShaderReplacements: plantShaders() },
      ShadersCallbacks: [lightTeller(this.picture, (program) => program.setUniformi('leaves', LEAF_UNIT))],
    });
    const actor = vtk.Rendering.Core.vtkActor.newInstance();
    actor.setMapper(mapper);
    actor.setForceOpaque(true);
    renderer.addActor(actor);
    return actor;
  }
}
