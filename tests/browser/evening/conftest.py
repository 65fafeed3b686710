"""A yard for an evening's work, and hands on its plan that know what the yard is meanwhile."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Error as PlaywrightError

import scenes
from scenes.editing import edited, laid_out
from scenes.layout import places_of

SHOWN_M = 0.00051
"""Half of the last figure of a mark's place, and what a float takes."""

APART_PX = 24
"""What stands nearer to another thing is chosen by the lists, not by a press."""

MORE = """
[[planting]]  # bought at the autumn sale
name = "sale"
plant = "Ilex crenata"
size = "#5"
at = [["30 cm", 8.0], [5.0, "310 cm"]]  # the second beside the walk

[[bed]]
name = "east bed"
edge = [
  [11.2, 0.5], [11.8, 0.5],   # along the boundary
  [11.8, 3.0], [11.2, 3],
]

[[planting]]
fill = "lane bed"
spacing = 1.2
size = "#1"
mix = { "Carex morrowii" = 0.5, "Liriope muscari" = 0.5 }

[[head]]
name = "spray"
at = [5, 8]  # on the lawn
riser = "30 cm"
throw = 3.0
arc = [0, 90]

[[head]]
name = "lane spray"
at = [0.5, 0.5]
riser = "12 in"
throw = 2
"""

SHEET = """(plan) => {
  scrollTo(0, 0);
  const { left, top } = plan.getBoundingClientRect();
  const [scale, , , , x, y] = plan.querySelector('.world').getAttribute('transform')
    .match(/-?\\d[\\d.e-]*/g).map(Number);
  return { scale, x, y, left, top };
}"""

SHOWN = """(plan) => [...plan.querySelectorAll('.plant')]
  .sort((a, b) => a.dataset.plant - b.dataset.plant)
  .map((mark) => mark.getAttribute('transform').match(/-?\\d[\\d.e-]*/g).map(Number))"""

TOLD_MORE = """(plan, before) => new Promise((done, failed) => {
  const { dataset } = plan.closest('.handcolumns');
  const until = performance.now() + 20000;
  const look = () => {
    if (Number(dataset.told) > before) done();
    else if (performance.now() > until) failed(new Error('the page is told nothing'));
    else setTimeout(look, 10);
  };
  look();
})"""


@dataclass(frozen=True)
class Stood:
    """One plant: its number on the page, its table, its number there, its kind and place."""

    index: int
    place: str
    number: int
    kind: str
    at: tuple[float, float]


def stood(yard) -> list[Stood]:
    """All plants of a yard, kept ones first, as the page numbers them."""
    places = [f"kept[{n}]" for n, _ in enumerate(yard.kept, 1)]
    places += [f"planting[{n}]" for n, _ in enumerate(yard.planting, 1)]
    rows = [
        (place, number, kind, tuple(at))
        for place in places
        for number, (kind, at) in enumerate(zip(*map(list, places_of(yard, place)), strict=True))
    ]
    return [Stood(index, *row) for index, row in enumerate(rows)]


def apart(one, other) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))


class Evening:
    """One page of the plan, the text that its document should be, and hands that know both."""

    def __init__(self, plan, path: Path) -> None:
        self.plan, self.page, self.path = plan, plan.page, path
        self.sheet = plan.page.locator(".plan")
        self.random = np.random.default_rng(20)
        self.first, self.known = scenes.load(path), {}
        self.terrain = scenes.grade(self.first)
        self.see(path.read_text(encoding="utf-8"))
        self.texts, self.count = [self.text], Counter()

    def see(self, text: str) -> None:
        """What this text holds; it was laid out before, if it was seen before."""
        if text not in self.known:
            yard = laid_out(self.first, text)
            self.known[text] = yard, stood(yard)
        self.text = text
        self.yard, self.plants = self.known[text]
        self.things = [head.at for head in self.yard.head]
        self.things += [view.eye for view in self.yard.view if np.ndim(view.eye) == 1]
        self.matrix = self.sheet.evaluate(SHEET)

    # what is drawn by lot

    def one(self, choices):
        if not choices:
            raise scenes.SceneError("there is none of these now")
        return choices[int(self.random.integers(len(choices)))]

    def plant(self, *, planted: bool = True, lone: bool = False) -> Stood:
        """Any plant, a planted one, or one that a press meets without doubt."""
        return self.one([p for p in self.plants if (not planted or p.place.startswith("planting"))
                         and (not lone or self.is_lone(p))])  # fmt: skip

    def is_lone(self, plant: Stood) -> bool:
        return self.is_apart(plant.at, [p.at for p in self.plants] + self.things)

    def is_apart(self, at, others) -> bool:
        """Whether a press at a thing's place means no other of these."""
        away = sorted(apart(at, other) for other in others)
        return len(away) < 2 or away[1] * self.matrix["scale"] > APART_PX

    def must_be_apart(self, at, others) -> None:
        if not self.is_apart(at, others):
            raise scenes.SceneError("a press would not know which is meant")

    def table(self, keep=lambda table: True) -> list[Stood]:
        """All plants of one planting."""
        number = self.one([n for n, each in enumerate(self.yard.planting, 1) if keep(each)])
        return [p for p in self.plants if p.place == f"planting[{number}]"]

    def metres(self, low: float, high: float) -> float:
        return round(float(self.random.uniform(low, high)), 2)

    def way_px(self) -> tuple[int, int]:
        dx, dy = (int(n) for n in self.random.integers(-70, 71, 2))
        return (dx, dy) if abs(dx) + abs(dy) > 12 else (20, dy)

    def way_m(self, way: tuple[int, int]) -> list[float]:
        return [way[0] / self.matrix["scale"], -way[1] / self.matrix["scale"]]

    def spot_px(self) -> tuple[int, int]:
        """A pixel of the window inside the lot."""
        return self.pixel((self.metres(0.3, 11.7), self.metres(0.3, 9.7)))

    def pixel(self, at) -> tuple[int, int]:
        m = self.matrix
        return (
            round(m["left"] + m["x"] + at[0] * m["scale"]),
            round(m["top"] + m["y"] - at[1] * m["scale"]),
        )

    def at_pixel(self, pixel) -> list[float]:
        m = self.matrix
        return [
            (pixel[0] - m["left"] - m["x"]) / m["scale"],
            (m["y"] - (pixel[1] - m["top"])) / m["scale"],
        ]

    # hands

    def choose(self, plants: list[Stood], *, kind: str = "") -> None:
        """By the lists: one plant, a whole table, or one kind of a mix."""
        places = list(dict.fromkeys(p.place for p in self.plants))
        self.take(f"plants {places.index(plants[0].place)}")
        count = sum(p.place == plants[0].place for p in self.plants)
        whole = "all" if len(plants) == count and count > 1 else str(plants[0].index)
        self.page.locator("#hand-single").select_option(f"kind {kind}" if kind else whole)

    def take(self, thing: str, point: float | None = None) -> None:
        self.page.locator("#hand-table").select_option(thing)
        if point is not None:
            self.page.locator("#hand-single").select_option(f"{point:g}")

    def open(self, words: str) -> None:
        button = self.page.get_by_role("button", name=words, exact=True)
        if button.get_attribute("aria-expanded") == "false":
            button.click()

    def close(self) -> None:
        """All that is open beside the plan, and nothing chosen, so that presses choose."""
        for button in self.page.locator("[aria-expanded=true]:visible").all():
            button.click()
        self.sheet.press("Escape")

    def find(self, of: str, name: str, size: str) -> None:
        field, found = self.page.locator(f"#find-{of}"), self.page.locator(f"#hand-{of} .found li")
        found.evaluate_all("(all) => all.forEach((each) => { each.dataset.old = true; })")
        field.fill(name)
        item = self.page.locator(f"#hand-{of} .found li:not([data-old])", has_text=name)
        item.get_by_role("combobox").select_option(size)
        item.get_by_role("button").click()

    def write(self, form: str, **values: float | str) -> None:
        for name, value in values.items():
            self.page.locator(f"#{form}-{name}").fill(str(value))

    def press(self, pixel, *, more: bool = False) -> None:
        self.page.evaluate("scrollTo(0, 0)")
        if more:
            self.page.keyboard.down("Shift")
        self.page.mouse.click(*pixel)
        self.page.keyboard.up("Shift")

    def draw(self, start, way) -> None:
        self.page.evaluate("scrollTo(0, 0)")
        self.page.mouse.move(*start)
        self.page.mouse.down()
        self.page.mouse.move(start[0] + way[0], start[1] + way[1], steps=2)
        self.page.mouse.up()

    def button(self, words: str) -> None:
        self.page.get_by_role("button", name=words, exact=True).click()

    # what is done, and looked at

    def work(self, deed) -> None:
        """One edit by hand, where one fits."""
        fitting = self.fitting(deed)
        if fitting is None:
            return
        edit, act, text = fitting
        note = f"edit {len(self.texts)}, {deed.__name__} {edit}"
        self.done(act, note)
        self.is_now(text, note)
        self.texts.append(text)
        self.count[deed] += 1

    def fitting(self, deed):
        """An edit that the document takes, how it is done by hand, and the text after it."""
        for _ in range(60):
            try:
                edit, act = deed(self)
                text = edited(self.text, self.yard, edit).text
                if edit["do"] == "look":  # an eye may not be inside a house
                    scenes.lay_out(laid_out(self.first, text), self.terrain)
            except scenes.SceneError:
                continue
            return edit, act, text
        return None

    def refused(self) -> None:
        """A plant dragged out of the lot is put back, and nothing is written."""
        plant = self.plant(lone=True)
        way = (0, round((plant.at[1] + 0.6) * self.matrix["scale"]))
        note = "dragged out of the lot"
        self.done(lambda: (self.close(), self.draw(self.pixel(plant.at), way)), note)
        assert "outside the boundary" in self.page.locator(".refused:visible").inner_text()
        self.is_now(self.text, note)

    def steps(self, word: str, keys: str, texts: list[str]) -> None:
        """All steps back or forth, by button and keys in turn; then there are no more."""
        button = self.page.locator(f".hand button[aria-label^={word}]")
        for n, text in enumerate(texts, 1):
            note = f"{word} {n} of {len(texts)}"
            self.done((lambda: self.sheet.press(keys)) if n % 4 else button.click, note)
            self.is_now(text, note)
        assert self.page.get_by_role("button", name=word, exact=True).is_disabled()

    def done(self, act: Callable[[], object], note: str) -> None:
        """Do something, and wait for what became of it."""
        before = self.sheet.evaluate("(plan) => Number(plan.closest('.handcolumns').dataset.told)")
        try:
            act()
            self.sheet.evaluate(TOLD_MORE, before)
        except PlaywrightError as error:
            raise AssertionError(f"{note}: {error}") from error

    def is_now(self, text: str, note: str) -> None:
        """The document is this text, and the page shows its plants."""
        if self.path.read_bytes().decode() != text:
            told = self.page.locator(".refused:visible").all_inner_texts()
            assert self.path.read_bytes().decode() == text, f"{note} {told}"
        self.see(text)
        shown = np.array(self.sheet.evaluate(SHOWN))
        there = np.array([plant.at for plant in self.plants])
        assert shown.shape == there.shape, note
        assert np.abs(shown - there).max() < SHOWN_M, note


@pytest.fixture
def evening(plan_of, yard_file) -> Evening:
    """The small yard with more in it, in a window that shows all of its plan."""
    yard_file.write_text(yard_file.read_text(encoding="utf-8") + MORE, encoding="utf-8")
    return Evening(plan_of(yard_file, viewport={"width": 1100, "height": 760}), yard_file)
