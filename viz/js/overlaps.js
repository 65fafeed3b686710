/* Which crowns overlap which: where a sun line runs through both, the denser leaf counts once, so
   every crown is told its denser neighbours, those first that reach farthest into it. Of two alike
   the earlier one counts as the denser. */

const MOST_DENSER = 8; // a crown with more of them is drawn a little too dark

class Overlaps {
  /* Pairs that touch at their largest in any year. */
  constructor(plants, sizes) {
    Object.assign(this, { plants, sizes });
    const [{ kind, foot }, { spread }] = [plants, sizes];
    const count = kind.length;
    this.count = count;
    const radius = new Float32Array(count);
    for (let n = 0; n < spread.length; n++) radius[n % count] = Math.max(radius[n % count], spread[n] / 2);
    const order = Array.from({ length: count }, (_, i) => i).sort((i, j) => foot[3 * i] - foot[3 * j]);
    const widest = radius.reduce((most, each) => Math.max(most, each), 0);
    this.beside = Array.from({ length: count }, () => []);
    order.forEach((i, n) => {
      for (let m = n + 1; m < count; m++) {
        const j = order[m];
        const across = foot[3 * j] - foot[3 * i];
        if (across >= radius[i] + widest) break;
        if (Math.hypot(across, foot[3 * j + 1] - foot[3 * i + 1]) >= radius[i] + radius[j]) continue;
        this.beside[i].push(j);
        this.beside[j].push(i);
      }
    });
  }

  /* Writes the places of the denser neighbours among crowns of eight numbers, at `to` of each
     crown's `each` numbers; -1 ends them. `slots` has the place of every plant, or -1. */
  tell(crowns, { each, to, slots }) {
    for (let i = 0; i < this.count; i++) {
      if (slots[i] < 0) continue;
      const at = slots[i] * each;
      let found = 0;
      for (const j of this.beside[i]) {
        if (slots[j] < 0) continue;
        const deep = reachInto(crowns, at, slots[j] * each);
        if (deep <= 0 || !denser(crowns, slots[j] * each, at)) continue;
        found = ranked(crowns, at + to, found, slots[j], deep);
      }
      for (let n = found; n < MOST_DENSER; n++) crowns[at + to + n] = -1;
    }
  }
}

const denser = (crowns, one, other) => crowns[one + 7] > crowns[other + 7] || (crowns[one + 7] === crowns[other + 7] && one < other);

/* How far two crowns reach into each other along the line between them; 0 or less where they do not. */
function reachInto(crowns, one, other) {
  const apart = Math.hypot(crowns[one] - crowns[other], crowns[one + 1] - crowns[other + 1]);
  const low = Math.max(crowns[one + 2] + crowns[one + 5], crowns[other + 2] + crowns[other + 5]);
  const high = Math.min(crowns[one + 2] + crowns[one + 3], crowns[other + 2] + crowns[other + 3]);
  return high > low ? (crowns[one + 4] + crowns[other + 4]) / 2 - apart : 0;
}

const rankedDepths = new Float32Array(MOST_DENSER);

/* A neighbour into the row of those found, the deepest first; how many there are then. */
function ranked(crowns, row, found, slot, deep) {
  let n = Math.min(found, MOST_DENSER - 1);
  if (found === MOST_DENSER && rankedDepths[n] >= deep) return found;
  for (; n > 0 && rankedDepths[n - 1] < deep; n--) {
    rankedDepths[n] = rankedDepths[n - 1];
    crowns[row + n] = crowns[row + n - 1];
  }
  rankedDepths[n] = deep;
  crowns[row + n] = slot;
  return Math.min(found + 1, MOST_DENSER);
}
