/* What the server reckons when first asked for: asked again until it is there. */

const ASK_AGAIN_MS = 1000;

/* The answer of an address, { mistake } where there is none, null once `ended()` holds. */
async function reckonedAt(address, ended) {
  try {
    let answer = await fetch(address);
    while (answer.status === 202 && !ended()) {
      await new Promise((later) => setTimeout(later, ASK_AGAIN_MS));
      answer = await fetch(address);
    }
    if (ended()) return null;
    return answer.ok ? await answer.json() : { mistake: "It could not be reckoned." };
  } catch {
    return ended() ? null : { mistake: "Nobody answers; is the yard still being served?" };
  }
}
