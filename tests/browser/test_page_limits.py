"""The page at its limits: hostile names, a thousand plants, a browser without WebGL."""

import statistics

import pytest

import scenes

pytestmark = pytest.mark.browser

EVIL = "<img src=x onerror=window.harmed=1>"


def with_evil_names(document: dict) -> dict:
    """The document with every name and free word of its own turned into markup."""

    def evil(name: str) -> str:
        return f"{EVIL} {name}"

    for tables in ("grading", "surface", "bed", "structure", "view", "requirement"):
        for table in document[tables]:
            table["name"] = evil(table["name"])
            for opening in table.get("opening", ()):
                opening["name"] = evil(opening["name"])
    document["title"] = evil(document["title"])
    document["site"].update(place=EVIL, soil=EVIL)
    for planting in document["planting"]:
        planting["name"] = EVIL
        if "fill" in planting:
            planting.update(fill=evil(planting["fill"]), plant=evil("sedge"))
    for view in document["view"]:
        if isinstance(view["target"], str):
            view["target"] = evil(view["target"])
    for requirement in document["requirement"]:
        if requirement["of"] != "lot":
            requirement["of"] = evil(requirement["of"])
    size = {"height": [0.3, 0.4], "spread": [0.4, 0.6], "rate": "fast"}
    words = {"common": EVIL, "toxic": EVIL, "light": EVIL}
    kind = {"kind": "grass", "form": "fountain", "leaf": "evergreen"}
    document["plant"] = [{"name": evil("sedge"), **kind, **size, **words}]
    return document


def test_names_stay_text_however_they_are_written(visit, serve_document, small_document):
    yard = visit(serve_document(with_evil_names(small_document)), drawn=False)
    yard.page.locator(".views input").first.check(force=True)
    yard.set_year(5)
    yard.page.get_by_role("button", name="Next event").click()
    yard.settle()
    assert yard.page.evaluate("window.harmed") is None
    assert yard.page.locator("img[src=x]").count() == 0
    assert not [url for url in yard.requests if url.endswith("/x")]
    assert yard.complaints == []
    assert yard.page.title() == f"{EVIL} Small yard"
    for place in ("h1", ".views label", ".caption b", ".verdict b", ".row .name"):
        assert EVIL in yard.page.locator(place).first.inner_text(), place
    marks = yard.page.locator(".mark .title").all_inner_texts()
    assert any(EVIL in title for title in marks)  # some name plants of the catalogue alone
    assert EVIL in yard.page.locator(".card").inner_text()


COUNTING = """
window.counted = { buffers: 0, textures: 0, bytes: 0 };
const gl = WebGL2RenderingContext.prototype;
const instead = (name, act) => {
  const plain = gl[name];
  gl[name] = function (...given) { act(...given); return plain.apply(this, given); };
};
instead('createBuffer', () => { counted.buffers += 1; });
instead('deleteBuffer', (buffer) => { counted.buffers -= buffer ? 1 : 0; });
instead('createTexture', () => { counted.textures += 1; });
instead('deleteTexture', (texture) => { counted.textures -= texture ? 1 : 0; });
instead('bufferData', (_, data) => { counted.bytes += data.byteLength ?? data; });
instead('bufferSubData', (_, at, data) => { counted.bytes += data.byteLength; });
for (const name of ['drawArrays', 'drawElements', 'drawArraysInstanced', 'drawElementsInstanced'])
  gl[name] = () => {};
"""
"""Counts what is on the graphics card and what is sent there; nothing is drawn."""

STEPS = """async (slider, steps) => {
  const spent = [];
  for (let i = 0; i < steps; i += 1) {
    slider.value = (7.3 * i) % 30;
    const start = performance.now();
    slider.dispatchEvent(new Event('input'));
    spent.push(performance.now() - start);
    await new Promise(requestAnimationFrame);
  }
  return [{ ...counted }, spent];
}"""

BYTES_A_PLANT = 16 * 4 + 9 * 4 + 4 + 4
"""Of a plant that moves: its place, turn and size as a matrix, that of its normals, colours."""


def kept_bytes(yard) -> int:
    """What scripts hold in memory once all that nobody needs is thrown away."""
    devtools = yard.context.new_cdp_session(yard.page)
    devtools.send("HeapProfiler.enable")
    devtools.send("HeapProfiler.collectGarbage")
    used = devtools.send("Runtime.getHeapUsage")["usedSize"]
    devtools.detach()
    return used


def test_five_hundred_steps_of_a_thousand_plants_keep_nothing_and_ask_nobody(
    visit, serve_document, small_document, tmp_path
):
    small_document["site"]["boundary"] = [[0, 0], [60, 0], [60, 40], [0, 40]]
    bed = {"name": "meadow", "edge": [[2, 12], [52, 12], [52, 32], [2, 32]]}
    small_document["bed"].append(bed)
    fill = {"fill": "meadow", "spacing": 1.0, "pattern": "square"}
    small_document["planting"].append({"plant": "Carex morrowii", "size": "#1", **fill})
    yard = visit(serve_document(small_document), script=COUNTING)
    document = scenes.load(tmp_path / "yard.toml")
    plants = len(scenes.lay_out(document, scenes.grade(document)).xyz_m)
    assert plants >= 1000
    yard.page.wait_for_timeout(3000)  # thumbnails are taken, drawings of other years made
    before, _ = yard.slider.evaluate(STEPS, 100)
    kept, messages = kept_bytes(yard), (len(yard.sent), len(yard.received))
    after, spent = yard.slider.evaluate(STEPS, 500)
    assert (after["buffers"], after["textures"]) == (before["buffers"], before["textures"])
    sent = (after["bytes"] - before["bytes"]) / 500
    assert 0 < sent < 1.5 * BYTES_A_PLANT * plants
    assert kept_bytes(yard) - kept < 1_000_000  # each step moves some forty thousand numbers
    assert (len(yard.sent), len(yard.received)) == messages
    assert yard.complaints == []
    print(
        f"a step of {plants} plants: {statistics.median(spent):.2f} ms, "
        f"worst {max(spent):.2f} ms, {sent / 1000:.0f} kB to the graphics card"
    )


def test_without_webgl_it_says_so_and_the_years_still_work(visit, small_yard):
    flat = visit(small_yard, drawn=False)
    page = flat.page
    assert "no 3D picture" in page.locator(".notice").inner_text()
    page.get_by_role("button", name="Year 15", exact=True).click()
    assert page.locator(".big .number").inner_text() == "15"
    flat.pick("Plan")
    assert page.locator(".caption b").inner_text() == "Plan"
    assert flat.complaints == []


def test_many_conditions_leave_every_band_its_lanes_and_the_groove_in_the_window(
    visit, serve_document, small_document
):
    """Seven conditions due in one year take seven lanes; the other bands share four."""
    small_document["requirement"] = [
        {
            "name": f"Bed {n}",
            "check": "coverage",
            "of": small_document["bed"][0]["name"],
            "year": 5,
            "at_least": n / 10,
        }
        for n in range(2, 9)
    ]
    small_document["head"] = [
        {"name": f"head {n}", "at": [2.2 + n, 1.4], "riser": "12 in", "throw": 3} for n in range(5)
    ]
    size = {"width": 1400, "height": 900}
    yard = visit(serve_document(small_document), drawn=False, viewport=size)
    page = yard.page
    bands = page.locator(".band").evaluate_all("all => all.map(e => [e.textContent, e.offsetTop])")
    names = [name for name, _ in bands]
    assert names == ["Fills in", "Gets in the way", "Conditions"]
    tops = set(page.locator(".mark").evaluate_all("all => all.map(e => e.offsetTop)"))
    rules = {top for top in tops if top >= bands[-1][1] - 2}
    assert len(rules) == 7
    assert 2 <= len(tops - rules) <= 4
    told = page.locator(".happens li").count()
    hidden = told - page.locator(".mark").count()
    assert hidden > 0
    assert f"({hidden} more)" in page.locator(".all summary").inner_text()
