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

  paint(plants, now, sun, season) {
    const dense = season === 'bare' ? plants.denseBare : plants.dense;
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
      this.blot(this.pool, x, y, 0, 0.62 * wide, 0.62 * wide, 0.55 * dense[i]);
      const lift = 0.58 * high;
      const long = Math.hypot(wide / 2, 0.36 * high * cot);
      this.blot(this.spot, x + Math.cos(away) * lift * cot, y + Math.sin(away) * lift * cot, away, long, wide / 2, 0.72 * dense[i]);
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
    if (this.fresh && uploadCanvas(this.picture, this)) this.fresh = false;
  }
}

/* Sends a canvas to the graphics card and asks for a frame; false while vtk.js has no place for it. */
function uploadCanvas(picture, { texture, canvas }, { premultiplied = false } = {}) {
  const handle = picture.gl.getViewNodeFor(texture)?.getHandle();
  if (!handle) return false;
  const gl = picture.gl.getContext();
  gl.bindTexture(gl.TEXTURE_2D, handle);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, true);
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, premultiplied);
  gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, gl.RGBA, gl.UNSIGNED_BYTE, canvas);
  gl.generateMipmap(gl.TEXTURE_2D);
  gl.pixelStorei(gl.UNPACK_FLIP_Y_WEBGL, false);
  gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, false);
  picture.need();
  return true;
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
