/* What a hand on the plan takes hold of: the nearest symbol within reach, a plant's foot before
   what lies right under it. Symbols that lie over each other are gone through press by press. */

const LYING_PX = 7;

/* The symbols at a place, nearest first: feet of plants, heads and eyes. The foot of a plant
   counts as nearer by a pixel, for it is what most hands mean. */
function symbolsAt(marks, things, x, y, touch) {
  const px = 1 / marks.sheet.scale;
  const feet = marks.feetAt(x, y, touch).map(({ plant, away }) => ({ hit: { plant }, at: marks.place(plant), away: away - px }));
  const others = things.symbolsAt(x, y, touch).map(({ thing, away }) => ({ hit: { thing }, at: things.at(thing), away }));
  return [...feet, ...others].sort((a, b) => a.away - b.away);
}

/* The one that is meant among symbols, and `next`, which a further press takes: of those that lie
   over the nearest one, what is chosen already stays in the hand. */
function meant(symbols, isChosen, scale) {
  if (!symbols.length) return null;
  const [{ at: [x, y] }] = symbols;
  const over = symbols.filter(({ at }) => Math.hypot(at[0] - x, at[1] - y) * scale < LYING_PX).map(({ hit }) => hit);
  const mine = Math.max(over.findIndex(isChosen), 0);
  const next = over.length > 1 ? over[(mine + 1) % over.length] : null;
  return { ...over[mine], next };
}
