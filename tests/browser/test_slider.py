"""The year slider among a thousand plants: it asks nobody, and no step leaves anything behind."""

from itertools import pairwise

import pytest

import scenes

pytestmark = pytest.mark.browser

LAPS, STEPS = 5, 100
"""The slider runs the same steps again and again: what grows from lap to lap is kept."""

COUNT = """() => {
  window.counted = { buffers: 0, textures: 0, bytes: 0 };
  const gl = WebGL2RenderingContext.prototype;
  const before = (name, act) => {
    const plain = gl[name];
    gl[name] = function (...given) { act(...given); return plain.apply(this, given); };
  };
  before('createBuffer', () => { counted.buffers += 1; });
  before('deleteBuffer', (buffer) => { counted.buffers -= buffer ? 1 : 0; });
  before('createTexture', () => { counted.textures += 1; });
  before('deleteTexture', (texture) => { counted.textures -= texture ? 1 : 0; });
  before('bufferData', (_, data) => { counted.bytes += data.byteLength ?? data; });
  before('bufferSubData', (_, at, data) => { counted.bytes += data.byteLength; });
  for (const name of ['drawArrays', 'drawElements', 'drawArraysInstanced', 'drawElementsInstanced'])
    gl[name] = () => {};
}"""
"""Switches drawing off, and counts from now on what the graphics card holds more and is sent."""

LAP = """async (slider, steps) => {
  let spent_ms = 0;
  for (let i = 0; i < steps; i += 1) {
    slider.value = (7.3 * i) % slider.max;
    const start = performance.now();
    slider.dispatchEvent(new Event('input'));
    spent_ms += performance.now() - start;
    await new Promise(requestAnimationFrame);
  }
  return [{ ...counted }, spent_ms / steps];
}"""


def kept_bytes(visited) -> int:
    """What scripts hold in memory once all that nobody needs is thrown away."""
    devtools = visited.context.new_cdp_session(visited.page)
    devtools.send("HeapProfiler.enable")
    devtools.send("HeapProfiler.collectGarbage")
    used = devtools.send("Runtime.getHeapUsage")
    devtools.detach()
    return int(used["usedSize"] + used["backingStorageSize"])


@pytest.fixture
def meadow(small_document) -> dict:
    """The small yard with a thousand sedges more, a metre apart."""
    small_document["site"]["boundary"] = [[0, 0], [60, 0], [60, 40], [0, 40]]
    bed = {"name": "meadow", "edge": [[2, 12], [52, 12], [52, 32], [2, 32]]}
    small_document["bed"].append(bed)
    fill = {"fill": "meadow", "spacing": 1.0, "pattern": "square"}
    small_document["planting"].append({"plant": "Carex morrowii", "size": "#1", **fill})
    return small_document


def test_five_hundred_steps_of_a_thousand_plants_keep_nothing_and_ask_nobody(
    visit, serve_document, meadow, tmp_path
):
    visited = visit(serve_document(meadow))
    document = scenes.load(tmp_path / "yard.toml")
    plants = len(scenes.lay_out(document, scenes.grade(document)).xyz_m)
    assert plants >= 1000
    visited.page.evaluate(COUNT)
    visited.page.wait_for_timeout(3000)  # small pictures are taken, drawings of other years made
    messages: list[str | bytes] = []
    for name in ("framesent", "framereceived"):
        visited.sockets[0].on(name, lambda frame: messages.append(frame))
    laps = [visited.slider.evaluate(LAP, STEPS)]  # the first one also makes what lasts
    kept = kept_bytes(visited)
    laps += [visited.slider.evaluate(LAP, STEPS) for _ in range(LAPS)]
    more = kept_bytes(visited) - kept
    counts = [lap[0] for lap in laps]
    sent = [after["bytes"] - before["bytes"] for before, after in pairwise(counts)]
    mean_ms = sum(ms for _, ms in laps[1:]) / LAPS
    print(
        f"{plants} plants, {LAPS * STEPS} steps: {mean_ms:.2f} ms of JavaScript a step, "
        f"{sent} bytes to the graphics card a lap, {more} bytes more in memory"
    )
    assert messages == []
    for held in ("buffers", "textures"):
        assert counts[-1][held] == counts[0][held]
    assert sent[0] > 0
    assert sent == LAPS * sent[:1]
    # a step that kept one number of four bytes of each plant would leave two million bytes
    assert more < LAPS * STEPS * plants * 4 / 2
    assert visited.complaints == []
