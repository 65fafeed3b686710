/* A picture laid over the ground, painted from above when a layer is first asked for.
   Needs shade.js before it. */

const OVERLAY_PIXELS = 2048;

class Overlay {
  constructor(picture, field) {
    this.picture = picture;
    this.field = field;
    this.canvas = document.createElement("canvas");
    this.scale = OVERLAY_PIXELS / Math.max(field.wide, field.deep);
    this.canvas.width = Math.round(field.wide * this.scale);
    this.canvas.height = Math.round(field.deep * this.scale);
    this.pen = this.canvas.getContext("2d", { willReadFrequently: true });
    this.texture = picture.vtk.Rendering.Core.vtkTexture.newInstance();
    this.texture.setInterpolate(true);
    this.texture.setEdgeClamp(true);
    this.texture.setCanvas(this.canvas);
  }

  /* Column and row of a place in metres. */
  pixel(x, y) {
    return [(x - this.field.west) * this.scale, this.canvas.height - (y - this.field.south) * this.scale];
  }

  clear() {
    this.pen.clearRect(0, 0, this.canvas.width, this.canvas.height);
    this.changed();
  }

  changed() {
    this.fresh = true;
    this.picture.need();
  }

  /* Whether there was something new, which is on the graphics card now. */
  upload() {
    const sent = Boolean(this.fresh && uploadCanvas(this.picture, this, { premultiplied: true }));
    if (sent) this.fresh = false;
    return sent;
  }
}
