/* What vtk.js draws: meshes from Stage's arrays, and groups of plants that share one drawing. */

const MOST_TINT = 4; // as in viz/stage.py
const LEAF_UNIT = 15; // texture unit of the leaf atlas; vtk.js takes its own from 0 upwards

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
  data.addArray(column(vtk, 'leaf', 2, scaled(packed.tcoords, 1 / 65535)));
  const tint = Float32Array.from(packed.tint, (x, i) => (i % 4 === 3 ? x / 255 : MOST_TINT * (x / 255) ** 2));
  data.addArray(column(vtk, 'tint', 4, tint));
  return mesh;
}

/* The leaf atlas on the graphics card, once for all drawings: vtk.js would upload a copy an actor. */
function keepLeaves(gl, image) {
  gl.activeTexture(gl.TEXTURE0 + LEAF_UNIT);
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, true);
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, image);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR); // smaller copies would close the gaps between leaves
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
    this.prepare(shown);
    for (const [name, actor] of Object.entries(this.actors)) actor.setVisibility(this.count > 0 && name === shown);
    this.triangles = this.count * (this.stage[shown].points.length / 6);
  }

  /* The season's drawing, made once; made early, so that the first step is as quick as the rest. */
  prepare(shown) {
    this.actors[shown] ??= this.actor(this.stage[shown]);
  }

  actor(packed) {
    const { vtk, renderer, sun } = this.picture;
    const mapper = vtk.Rendering.Core.vtkGlyph3DMapper.newInstance({ orient: true, scaling: true });
    mapper.setInputData(this.points, 0);
    mapper.setInputData(plantMesh(vtk, packed), 1);
    mapper.setOrientationArray('turn');
    mapper.setOrientationModeToRotation();
    mapper.setScaleArray('size');
    mapper.setScaleModeToScaleByComponents();
    mapper.setColorModeToDirectScalars();
    mapper.setCustomShaderAttributes(['tint', 'leaf']);
    mapper.setViewSpecificProperties({
      OpenGL: { ShaderReplacements: plantShaders(sun) },
      ShadersCallbacks: [{ callback: (_, cells) => cells.getProgram().setUniformi('leaves', LEAF_UNIT) }],
    });
    const actor = vtk.Rendering.Core.vtkActor.newInstance();
    actor.setMapper(mapper);
    actor.setForceOpaque(true);
    renderer.addActor(actor);
    return actor;
  }
}
