/* The drawing context of a picture. Two pictures can share one: each has a scene of its own and
   is drawn in turn on the one canvas, then copied on its own sheet. What both show, the drawings
   of plants above all, is kept once. */

const LOOK_MS = 20; // between looks whether something is drawn

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
  Object.assign(picture.gl.getCanvas().style, { display: 'block', position: 'absolute', left: 0, bottom: 0 });
  watchLoss(picture);
}

/* Takes a context's canvas away, with what vtk.js keeps of it. */
function closeDrawing(picture) {
  picture.gl.setContainer(null);
  picture.gl.delete();
  picture.window.delete();
}

/* Draws the scene of one picture alone, in the lower left of the canvas. The canvas stays as large
   as its finest picture: before the browser gives it another size, it waits until the graphics
   card has done all it was asked, and the page stands still meanwhile. */
function drawScene({ window, renderer, gl }, [wide, high]) {
  const [widest, highest] = gl.getSize();
  renderer.setViewport(0, 0, wide / widest, high / highest);
  for (const each of window.getRenderersByReference()) each.setDraw(each === renderer);
  window.render();
}

/* Draws a picture in its size; where the canvas is shared, on its sheet. */
function drawPicture(picture) {
  const { gl, size, finest, sheet } = picture;
  const canvas = gl.getCanvas();
  gl.setSize(...finest);
  canvas.style.width = `${(100 * finest[0]) / size[0]}%`;
  canvas.style.height = `${(100 * finest[1]) / size[1]}%`;
  drawScene(picture, size);
  if (!sheet) return;
  if (sheet.width !== size[0] || sheet.height !== size[1]) [sheet.width, sheet.height] = size;
  const pen = sheet.getContext('2d');
  pen.globalCompositeOperation = 'copy';
  copyDrawn(picture, size, pen, size);
}

/* Copies what was drawn in one size, until the frame ends, to a pen's canvas in another. */
function copyDrawn({ gl }, [wide, high], pen, size) {
  const canvas = gl.getCanvas();
  pen.drawImage(canvas, 0, canvas.height - high, wide, high, 0, 0, ...size);
}

/* Calls with the milliseconds until the graphics card has done all it was asked so far. */
function whenDrawn({ context }, told) {
  const start = performance.now();
  const done = context.fenceSync(context.SYNC_GPU_COMMANDS_COMPLETE, 0);
  const look = () => {
    if (!context.isSync(done)) return; // the context was lost meanwhile
    if (context.getSyncParameter(done, context.SYNC_STATUS) !== context.SIGNALED) {
      setTimeout(look, LOOK_MS);
      return;
    }
    context.deleteSync(done);
    told(performance.now() - start);
  };
  context.flush();
  setTimeout(look, LOOK_MS);
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
  picture.need();
}

/* Frees all that a picture holds of a lent context. */
function giveBack(picture) {
  const plants = [...picture.groups.flat(), picture.trees].filter((group) => group);
  for (const actor of [...Object.values(picture.actors), ...plants.flatMap((group) => Object.values(group.actors))]) picture.drop(actor);
  picture.window.removeRenderer(picture.renderer);
  picture.renderer.delete();
}
