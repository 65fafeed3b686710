"""Sums of the race in the browser: who passes whom and when, scales, lengths; all by hand."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

JS = Path(__file__).parents[2] / "viz" / "js"
YEARS = np.arange(31)

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """An empty page with the race's sums in it."""
    one = browser.new_page()
    one.add_script_tag(content="\n".join((JS / n).read_text() for n in ("track.js", "courses.js")))
    yield one
    one.close()


def heights(expected, *, down: float = 0.0, up: float = 0.0) -> dict[str, list[float]]:
    """A range of heights by year about the expected ones."""
    values = np.broadcast_to(np.asarray(expected, dtype=float), YEARS.shape)
    return {
        "low": (values - down).tolist(),
        "expected": values.tolist(),
        "high": (values + up).tolist(),
    }


def passings(page: Page, one, other) -> list[tuple]:
    found = page.evaluate("([one, other]) => passings(one, other)", [one, other])
    return [(each["first"], each["year"], each["last"]) for each in found]


def test_a_sure_course_passes_in_one_year(page):
    # 1 m a year passes 10.5 m in year 11
    assert passings(page, heights(YEARS), heights(10.5)) == [(11, 11, 11)]
    assert passings(page, heights(10.5), heights(YEARS)) == []


def test_half_widths_add_as_the_sides_of_a_right_angle(page):
    # 3 and 4 make 5: from 5.5 m below (year 6) to 15.5 m above (year 16)
    one, other = heights(YEARS, down=3, up=3), heights(10.5, down=4, up=4)
    assert passings(page, one, other) == [(6, 11, 16)]


def test_the_early_end_is_the_fast_one_against_the_slow_other(page):
    # only the fast end of one (4) and the slow end of the other (3) bring the passing forward
    one, other = heights(YEARS, up=4), heights(10.5, down=3)
    assert passings(page, one, other) == [(6, 11, 11)]


def test_wide_ranges_may_pass_at_once_or_never(page):
    one, other = heights(YEARS, down=40, up=40), heights(10.5)
    assert passings(page, one, other) == [(1, 11, None)]


def test_who_is_passed_may_pass_again(page):
    wave = np.where((YEARS >= 5) & (YEARS < 20), 3.0, 1.0)
    assert [years[1] for years in passings(page, heights(wave), heights(2))] == [5]
    assert [years[1] for years in passings(page, heights(2), heights(wave))] == [20]


def test_alike_plants_do_not_pass_each_other(page):
    # 1 mm below on the day of planting is the rounding of the size, not a lead
    assert passings(page, heights(np.where(YEARS == 0, 1.999, 3)), heights(2)) == []
    assert passings(page, heights(2), heights(2)) == []


def test_events_tell_every_pair_in_order_of_years(page):
    field = [
        {"label": "Oak", "inner": "oak", "course": {"height": heights(YEARS)}},
        {"label": "Birch", "inner": "birch", "course": {"height": heights(10.5)}},
        {"label": "Sedge", "inner": "sedge", "course": {"height": heights(0.5)}},
    ]
    events = page.evaluate("(field) => passEvents(field)", field)
    assert [(event["sentence"], event["year"]) for event in events] == [
        ("Oak passes sedge.", 1),
        ("Oak passes birch.", 11),
    ]


def test_packed_counts_become_metres(page):
    counts = [[100 * series + year for year in range(31)] for series in range(14)]
    flat = [count for row in counts for count in row]
    course = page.evaluate(
        "([c, step]) => courseOf({ counts: Uint16Array.from(c), step }, 1)", [flat, [1, 0.5]]
    )
    assert course["height"]["expected"][3] == (100 * 8 + 3) * 0.5
    assert course["spread"]["high"][30] == (100 * 12 + 30) * 0.5
    assert course["base"][0] == 100 * 13 * 0.5


def test_areas_of_crowns_add_and_their_halves_as_right_angles(page):
    # discs of 4 and 9 square metres; upwards by 3 and 4, together by 5
    def spreads(low, expected, high):
        each = {"low": low, "expected": expected, "high": high}
        return {"spread": {end: [2 * (m2 / np.pi) ** 0.5] * 31 for end, m2 in each.items()}}

    areas = page.evaluate("(c) => crownAreas(c)", [spreads(4, 4, 7), spreads(9, 9, 13)])
    assert areas["expected"][7] == pytest.approx(13)
    assert areas["high"][7] == pytest.approx(18)
    assert areas["low"][7] == pytest.approx(13)


@pytest.mark.parametrize(
    ("most", "step", "top"),
    [(4.4, 1, 5), (74, 20, 80), (0.28, 0.1, 0.3), (25, 5, 25), (50.1, 20, 60)],
)
def test_scales_hold_the_tallest_in_at_most_five_round_steps(page, most, step, top):
    scale = page.evaluate("(most) => evenScale(most)", most)
    assert scale["step"] == pytest.approx(step)
    assert scale["top"] == pytest.approx(top)


@pytest.mark.parametrize(
    ("unit", "unit_m", "sizes_m", "words"),
    [
        ("m", 1, (2.5, 2.94, 3.4), ["2.9 m", "2.5–3.4"]),
        ("m", 1, (0.57, 0.81, 1.14), ["0.81 m", "0.57–1.14"]),
        ("ft", 0.3048, (3.048, 6.096, 9.144), ["20.0 ft", "10.0–30.0"]),
        ("ft", 0.3048, (0.127, 0.1524, 0.2032), ["6 in", "5–8"]),
        ("ft", 0.3048, (12.192, 15.24, 18.288), ["50 ft", "40–60"]),
        ("m", 1, (1.5, 1.5, 1.5), ["1.5 m", ""]),
    ],
)
def test_lengths_read_in_the_documents_unit(page, unit, unit_m, sizes_m, words):
    told = page.evaluate(
        "([unit, m, sizes]) => new Lengths(unit, m).range(sizes)", [unit, unit_m, list(sizes_m)]
    )
    assert [part.replace("\u00a0", " ") for part in told] == words
