"""The page at its limits: hostile names, many conditions, a browser without WebGL."""

import pytest

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
    for place in ("h1", ".views label", ".caption b", ".verdict .link", ".row .name"):
        assert EVIL in yard.page.locator(place).first.inner_text(), place
    marks = yard.page.locator(".mark .title").all_inner_texts()
    assert any(EVIL in title for title in marks)  # some name plants of the catalogue alone
    assert EVIL in yard.page.locator(".card").inner_text()


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
