/* Layers painted over the ground from above: fields in tones with patterns, lines, outlines.
   Every tone differs in pattern or comes with an outline, so that none is told by colour alone. */

const INK = "#14201B";
const PALE = "#FAFBFA";
const OPAQUE = 0.86;
const HATCH_PX = 18;
const EDGE_PX = 2;
const ARROWS_APART_PX = 130;

/* Patterns: where the pattern's own colour is drawn, by pixel. */
const PATTERNS = {
  plain: () => false,
  lines: (px, py) => py % HATCH_PX < 4,
  slant: (px, py) => (px + py) % HATCH_PX < 7,
  dots: (px, py) => (px % 12 - 6) ** 2 + (py % 12 - 6) ** 2 < 8,
};

/* The same patterns as backgrounds of a key's swatches. */
function swatch({ colour, pattern = "plain", over = INK }) {
  const turns = { lines: "0deg", slant: "135deg" };
  if (pattern === "dots") return `radial-gradient(circle at 3px 3px, ${over} 1.4px, transparent 1.8px) 0 0 / 6px 6px, ${colour}`;
  if (!turns[pattern]) return colour;
  return `repeating-linear-gradient(${turns[pattern]}, ${over} 0 1.5px, transparent 1.5px 5px), ${colour}`;
}

/* A colour as one number of an image's pixels: alpha, blue, green, red from the highest byte. */
function packedColour(hex, opaque) {
  const [red, green, blue] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  return ((Math.round(255 * opaque) << 24) | (blue << 16) | (green << 8) | red) >>> 0;
}

/* Paints node numbers in tones: `pick(value)` is the place of a tone in `tones`, or -1 for none.
   Between nodes values are read evenly, or from the nearest node. */
function paintTones(overlay, numbers, tones, pick, { nearest = false } = {}) {
  overlay.pen.drawImage(sheetOf(overlay, pickedTones(overlay, numbers, pick, nearest), tones), 0, 0);
}

/* A sheet as large as the overlay, each pixel in the tone picked for it, with a line where one ends. */
function sheetOf({ pen, canvas }, picked, tones) {
  const { width, height } = canvas;
  const sheet = new OffscreenCanvas(width, height);
  const image = pen.createImageData(width, height);
  const pixels = new Uint32Array(image.data.buffer);
  const paint = tones.map(({ colour, pattern = "plain", over = INK }) => [packedColour(colour, OPAQUE), packedColour(over, OPAQUE), PATTERNS[pattern]]);
  const line = packedColour(INK, OPAQUE);
  for (let py = 0, p = 0; py < height; py += 1) {
    for (let px = 0; px < width; px += 1, p += 1) {
      const tone = picked[p];
      const edge = px >= EDGE_PX && py >= EDGE_PX && (tone !== picked[p - EDGE_PX] || tone !== picked[p - EDGE_PX * width]);
      if (edge) pixels[p] = line;
      else if (tone) {
        const [flat, over, marks] = paint[tone - 1];
        pixels[p] = marks(px, py) ? over : flat;
      }
    }
  }
  sheet.getContext("2d").putImageData(image, 0, 0);
  return sheet;
}

/* Number of the tone of every pixel, from 1; 0 for none. */
function pickedTones({ canvas, field, scale }, numbers, pick, nearest) {
  const { width, height } = canvas;
  const picked = new Uint8Array(width * height);
  const across = Array.from({ length: width }, (_, px) => field.place(field.x, field.west + (px + 0.5) / scale));
  for (let py = 0, p = 0; py < height; py += 1) {
    const [j, v] = field.place(field.y, field.south + (height - py - 0.5) / scale);
    for (let px = 0; px < width; px += 1, p += 1) {
      const [i, u] = across[px];
      const k = j * field.columns + i;
      const up = k + field.columns;
      const value = nearest
        ? numbers[(v < 0.5 ? k : up) + (u < 0.5 ? 0 : 1)]
        : (1 - v) * ((1 - u) * numbers[k] + u * numbers[k + 1]) + v * ((1 - u) * numbers[up] + u * numbers[up + 1]);
      picked[p] = pick(value) + 1;
    }
  }
  return picked;
}

/* Paints the cells of some areas in tones, within the areas' edges, each with a pale outline.
   An area: cells from its `corner`, `cell` metres wide, `columns` a row, the south row first, and
   the `edge` round them; `cells` are places in `tones`, or beyond them for none. */
function paintAreas(overlay, areas, tones) {
  const { pen, canvas } = overlay;
  const picked = new Uint8Array(canvas.width * canvas.height);
  for (const area of areas) pickCells(overlay, area, tones.length, picked);
  const sheet = sheetOf(overlay, picked, tones);
  for (const { edge } of areas) {
    pen.save();
    ringPath(overlay, edge);
    pen.clip("evenodd");
    pen.drawImage(sheet, 0, 0);
    pen.restore();
    for (const ring of edge) strokeLine(overlay, ring, { width: 3, colour: PALE, casing: INK, closed: true });
  }
}

/* Puts into `picked` the number of the tone, from 1, of the cell that each pixel lies in. */
function pickCells({ canvas, field, scale }, { corner: [x0, y0], cell, columns, cells }, most, picked) {
  const { width, height } = canvas;
  const rows = cells.length / columns;
  const across = Array.from({ length: width }, (_, px) => Math.floor((field.west + (px + 0.5) / scale - x0) / cell));
  const first = across.findIndex((column) => column >= 0);
  for (let py = 0; py < height && first >= 0; py += 1) {
    const j = Math.floor((field.south + (height - py - 0.5) / scale - y0) / cell);
    if (j < 0 || j >= rows) continue;
    for (let px = first; px < width && across[px] < columns; px += 1) {
      const tone = cells[j * columns + across[px]];
      if (tone < most) picked[py * width + px] = tone + 1;
    }
  }
}

/* The existing ground as plain land: its own light and shade, nothing planned on it. */
function paintExisting({ canvas, pen, field }) {
  const { columns, rows, light, beyond } = field;
  const small = new OffscreenCanvas(columns, rows);
  const image = small.getContext("2d").createImageData(columns, rows);
  for (let j = 0; j < rows; j += 1) {
    for (let i = 0; i < columns; i += 1) {
      const k = j * columns + i;
      const bright = light[k] / 170;
      image.data.set([134 * bright, 142 * bright, 92 * bright, beyond[k] ? 175 : 235], 4 * ((rows - 1 - j) * columns + i));
    }
  }
  small.getContext("2d").putImageData(image, 0, 0);
  pen.drawImage(small, 0, 0, canvas.width, canvas.height);
}

/* A line through places [x, y, x, y, ...] in metres, pale under dark so that it shows on anything. */
function strokeLine(overlay, flat, { width, colour = INK, casing = PALE, dash = [], closed = false }) {
  const { pen } = overlay;
  pen.beginPath();
  for (let k = 0; k < flat.length; k += 2) pen.lineTo(...overlay.pixel(flat[k], flat[k + 1]));
  if (closed) pen.closePath();
  pen.lineJoin = "round";
  for (const [stroke, wide, dashes] of [[casing, width + 3, []], [colour, width, dash]]) {
    if (!stroke) continue;
    pen.strokeStyle = stroke;
    pen.lineWidth = wide;
    pen.setLineDash(dashes);
    pen.stroke();
  }
  pen.setLineDash([]);
}

/* An area of rings [x, y, x, y, ...], holes included, in a tone with its outline. */
function fillArea(overlay, rings, { colour, pattern = "plain", over = INK }, { dash = [] } = {}) {
  const { pen } = overlay;
  ringPath(overlay, rings);
  pen.globalAlpha = OPAQUE;
  pen.fillStyle = pattern === "plain" ? colour : pen.createPattern(patternTile(colour, pattern, over), "repeat");
  pen.fill("evenodd");
  pen.globalAlpha = 1;
  pen.setLineDash(dash);
  pen.strokeStyle = INK;
  pen.lineWidth = 3;
  pen.stroke();
  pen.setLineDash([]);
}

/* The pen's path round an area of rings. */
function ringPath(overlay, rings) {
  const { pen } = overlay;
  pen.beginPath();
  for (const flat of rings) {
    for (let k = 0; k < flat.length; k += 2) pen[k ? "lineTo" : "moveTo"](...overlay.pixel(flat[k], flat[k + 1]));
    pen.closePath();
  }
}

/* One tile of a pattern, the same that fields are painted in. */
function patternTile(colour, pattern, over) {
  const tile = new OffscreenCanvas(HATCH_PX, HATCH_PX);
  const pen = tile.getContext("2d");
  for (let py = 0; py < HATCH_PX; py += 1) {
    for (let px = 0; px < HATCH_PX; px += 1) {
      pen.fillStyle = PATTERNS[pattern](px, py) ? over : colour;
      pen.fillRect(px, py, 1, 1);
    }
  }
  return tile;
}

/* A line with arrow heads along it, at even distances. */
function strokeArrows(overlay, flat, { width, colour }) {
  strokeLine(overlay, flat, { width, colour });
  let ahead = ARROWS_APART_PX / 2; // pixels from here to the next head
  for (let k = 2; k < flat.length; k += 2) {
    const [from, to] = [overlay.pixel(flat[k - 2], flat[k - 1]), overlay.pixel(flat[k], flat[k + 1])];
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    const long = Math.hypot(dx, dy);
    for (; ahead < long; ahead += ARROWS_APART_PX) {
      const at = [from[0] + (ahead / long) * dx, from[1] + (ahead / long) * dy];
      arrowHead(overlay.pen, at, Math.atan2(dy, dx), 8 + 1.5 * width, colour);
    }
    ahead -= long;
  }
}

function arrowHead(pen, [x, y], turn, size, colour) {
  pen.save();
  pen.translate(x, y);
  pen.rotate(turn);
  pen.beginPath();
  pen.moveTo(size, 0);
  pen.lineTo(-size, 0.9 * size);
  pen.lineTo(-size, -0.9 * size);
  pen.closePath();
  pen.strokeStyle = PALE;
  pen.lineWidth = 4;
  pen.stroke();
  pen.fillStyle = colour;
  pen.fill();
  pen.restore();
}
