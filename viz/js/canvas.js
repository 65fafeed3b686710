/* The drawing context of a picture. Two pictures can share one: each has a scene of its own and
   is drawn in turn on the one canvas, then copied on its own sheet. What both show, the drawings
   of plants above all, is kept once. */

/* A context of the picture's own, or the one that another picture lends; none where the browser has none. */
function openDrawing(picture) {
  const { vtk, lender } = picture;
  if (lender) Object.assign(picture, { window: lender.window, gl: lender.gl, context: lender.context });
  else ownDrawing(picture);
  if (!picture.context) return;
  picture.renderer = vtk.Rendering.Core.vtkRenderer.newInstance();
  picture.window.addRenderer(picture.renderer);
  picture.renderer.setBackground(0, 0, 0, 0);
  picture.renderer.removeAllLights();
  picture.renderer.addLight(vtk.Rendering.Core.vtkLight.newInstance({ lightType: 'SceneLight' }));
}

/* vtk.js would ask for a context that draws every edge four times over; leaves are cut out, and
   finer pixels at rest smooth all edges. So ours is made before it can. */
function ownDrawing(picture) {
  const { vtk, box } = picture;
  picture.window = vtk.Rendering.Core.vtkRenderWindow.newInstance();
  picture.gl = picture.window.newAPISpecificView('WebGL');
  picture.context = picture.gl.getCanvas().getContext('webgl2', { antialias: false, powerPreference: 'high-performance' });
  if (!picture.context) return;
  picture.window.addView(picture.gl);
  picture.gl.setContainer(box);
  picture.gl.getCanvas().style.display = 'block';
  watchLoss(picture);
}

/* Takes a context's canvas away, with what vtk.js keeps of it. */
function closeDrawing(picture) {
  picture.gl.setContainer(null);
  picture.gl.delete();
  picture.window.delete();
}

/* Draws the scene of one picture alone. */
function drawScene({ window, renderer }) {
  for (const each of window.getRenderersByReference()) each.setDraw(each === renderer);
  window.render();
}

/* Draws a picture in its size; where the canvas is shared, on its sheet. */
function drawPicture(picture) {
  const { gl, size, sheet } = picture;
  gl.setSize(...size);
  drawScene(picture);
  if (!sheet) return;
  if (sheet.width !== size[0] || sheet.height !== size[1]) [sheet.width, sheet.height] = size;
  const pen = sheet.getContext('2d');
  pen.globalCompositeOperation = 'copy';
  pen.drawImage(gl.getCanvas(), 0, 0);
}

/* The sheet of a picture that draws on a shared canvas; the canvas itself is hidden meanwhile. */
function giveSheet(picture) {
  picture.sheet = tag('canvas', { class: 'sheet' });
  picture.box.append(picture.sheet);
  picture.need();
}

function takeSheet(picture) {
  picture.sheet.remove();
  picture.sheet = null;
  picture.ratio = 0;
  picture.need();
}

/* Frees all that a picture holds of a lent context. */
function giveBack(picture) {
  const plants = [...picture.groups.flat(), picture.trees].filter((group) => group);
  for (const actor of [...Object.values(picture.actors), ...plants.flatMap((group) => Object.values(group.actors))]) picture.drop(actor);
  picture.window.removeRenderer(picture.renderer);
  picture.renderer.delete();
}
