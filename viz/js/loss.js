/* The picture lost: a browser may take the drawing away at any time. It is told, and drawn again
   from what was loaded: when the browser gives the drawing back, or on a new canvas where it
   does not. Year, season and camera stay. */

const REMAKE_MS = 4000; // time for the browser to give the drawing back by itself
const MOST_TRIES = 5;

function watchLoss(picture) {
  const canvas = picture.gl.getCanvas();
  let timer = 0;
  let tries = 0;
  const again = () => {
    clearTimeout(timer);
    if (!canvas.isConnected) return; // drawn again already
    if (canDraw()) drawAgain(picture);
    else if (++tries < MOST_TRIES) timer = setTimeout(again, REMAKE_MS);
    else picture.fail();
  };
  canvas.addEventListener('webglcontextlost', (e) => {
    e.preventDefault();
    picture.lost = true;
    picture.onlost();
    timer = setTimeout(again, REMAKE_MS);
  });
  canvas.addEventListener('webglcontextrestored', again);
}

const canDraw = () => Boolean(document.createElement('canvas').getContext('webgl2'));

/* vtk.js does not draw on what was given back, so that all of it is made anew. */
function drawAgain(picture) {
  const { data, camera, view, overlay } = picture;
  closeDrawing(picture);
  picture.trees = null;
  picture.data = {};
  picture.open();
  picture.load(data);
  Object.assign(picture, { camera, view });
  if (!overlay) return;
  overlay.changed();
  picture.moveGround();
}
