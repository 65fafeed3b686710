/* The drawing context of a picture. Two pictures can share one: each has a scene of its own and
   is drawn in turn on the one canvas, then copied on its own sheet. What both show, the drawings
   of plants above all, is kept once. */

/* A context of the picture's own, or the one that another picture lends. */
function openDrawing(picture) {
  const { vtk, lender } = picture;
  if (lender) {
    Object.assign(picture, { window: lender.window, gl: lender.gl, context: lender.context });
    picture.renderer = vtk.Rendering.Core.vtkRenderer.newInstance();
    picture.window.getRenderWindow().addRenderer(picture.renderer);
  } else {
    ownDrawing(picture);
    picture.renderer = picture.window.getRenderer();
  }
  picture.renderer.setBackground(0, 0, 0, 0);
  picture.renderer.removeAllLights();
  picture.renderer.addLight(vtk.Rendering.Core.vtkLight.newInstance({ lightType: 'SceneLight' }));
}

function ownDrawing(picture) {
  picture.window = picture.vtk.Rendering.Misc.vtkGenericRenderWindow.newInstance({ listenWindowResize: false });
  picture.gl = picture.window.getRenderWindow().getViews()[0];
  // made before vtk.js asks for it: leaves are cut out, and finer pixels at rest smooth all edges
  picture.context = picture.gl.getCanvas().getContext('webgl2', { antialias: false, powerPreference: 'high-performance' });
  picture.window.setContainer(picture.box);
  picture.window.getInteractor().unbindEvents();
  picture.gl.getCanvas().style.display = 'block';
  watchLoss(picture);
}

/* Draws the scene of one picture alone. */
function drawScene({ window, renderer }) {
  const drawn = window.getRenderWindow();
  for (const each of drawn.getRenderersByReference()) each.setDraw(each === renderer);
  drawn.render();
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
  picture.window.getRenderWindow().removeRenderer(picture.renderer);
  picture.renderer.delete();
}
