"""The Conditions reading: what stands on it is what was found, and nothing is markup."""

from base64 import b64decode
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from growth.checks.findings import (
    Advice,
    Advised,
    Canopy,
    Findings,
    OneFails,
    PanelPicture,
    Screening,
    Verdict,
)
from growth.checks.gaps import Gap
from growth.ranges import Range
from scenes.document import Yard
from viz.conditions import NOTHING_ASKED, conditions_words
from viz.conditionspage import conditions_page, mistaken_page, waiting_page
from viz.panelimage import HIDDEN_RGB, OPEN_RGB, panel_picture

YEARS = np.arange(31)
SERIES = Range(*(np.full(31, share) for share in (0.5, 0.6, 0.7)))
MISSED = Verdict("Table hidden", "screening", "lane", 5, "bare", 0.8, True, 0.5, 0.6, 0.7, "missed")


def yard(**tables) -> Yard:
    document = {"title": "A <b>yard</b>", "lengths": "ft",
                "site": {"boundary": [[0, 0], [30, 0], [30, 30]]},
                "ground": {"points": [[0, 0, 0], [30, 0, 0], [30, 30, 0]]}}  # fmt: skip
    return Yard.model_validate(document | tables, context={"unit": "ft", "survey_unit": "ft"})


def findings(**parts) -> Findings:
    whole = {"title": "t", "years": YEARS, "coverage": (), "canopy": Canopy(90.0, SERIES),
             "screening": (), "requirements": (), "not_computed": (), "cautions": (),
             "notes": ()}  # fmt: skip
    return Findings(**{**whole, **parts})


def halves(*, year=5) -> PanelPicture:
    """A panel 4 m wide and 2 m high: the left half hidden, the right half open."""
    passing = np.zeros((4, 8, 31), np.uint8)
    passing[:, 4:, year] = 255
    return PanelPicture(4.0, 2.0, passing)


def test_a_condition_is_told_with_its_range_on_the_axis_and_its_gate():
    (told,) = conditions_words(yard(), findings(requirements=(MISSED,)))["conditions"]
    bar = told["bar"]
    assert (bar["low"], bar["expected"], bar["low"] + bar["wide"]) == (50, 60, 70)
    assert (bar["limit"], bar["gate"], bar["end"]) == (80, "at least", "100 %")
    assert told["squares"] == ["0", "0", "0"]
    assert told["ending"] == "Missed even if fast"


def test_an_axis_that_is_no_share_holds_all_its_figures():
    counted = replace(MISSED, check="count", unit="inches", limit=2.0, low=1.5, expected=1.5,
                      high=1.5)  # fmt: skip
    (told,) = conditions_words(yard(), findings(requirements=(counted,)))["conditions"]
    assert told["bar"]["limit"] == pytest.approx(80)  # 2 of 2.5
    assert told["bar"]["end"] == "2.50 inches"


def test_what_would_meet_it_and_what_it_hangs_on():
    advised = Advised("#15 instead of #5", 6, 4, 0.82, 0.9, 0.95, "met")
    loss = OneFails("Holly", "planting[1]", (1, 1), 0.2, 0.3, 0.4, True, 7)
    asked = replace(MISSED, advice=Advice((advised,), 30, None), if_one_fails=loss)
    found = findings(requirements=(asked,), found_at={"planting[1]": "in lane bed"})
    (told,) = conditions_words(yard(), found)["conditions"]
    assert told["advice"] == [
        "#15 instead of #5 (6 plants): 90 % expected in year 5 (82 % to 95 %), met; "
        "at the worse end met from year 4 on"
    ]
    assert "Hangs on Holly in lane bed: without it 30 %; met again year 7" in told["loss"]


def test_a_gap_is_outlined_where_it_is_open():
    gap = Gap(5, width_m=2.0, low_m=0.5, high_m=2.5, along_m=2.0, area_m2=4.0, closes=9, up_m=0.0)
    later = replace(gap, year=10)
    view = Screening("lane", "screen", "bare", SERIES, SERIES, (gap, later), picture=halves())
    found = findings(requirements=(MISSED,), screening=(replace(view, season="leaf"), view))
    (panel,) = conditions_words(yard(), found)["panels"]
    (outline,) = panel["gaps"]
    assert [outline[key] for key in ("left", "low", "width", "height")] == [50, 0, 50, 100]
    assert outline["closes"] == "year 9"
    assert outline["size"] == "6.6 ft × 6.6 ft"


def test_a_view_to_keep_open_has_no_gaps_to_close():
    gap = Gap(5, 2.0, 0.5, 2.5, 2.0, 4.0, None)
    view = Screening("lane", "keep open", "bare", SERIES, SERIES, (gap,), picture=halves())
    asked = replace(MISSED, check="opening")
    (panel,) = conditions_words(yard(), findings(requirements=(asked,), screening=(view,)))[
        "panels"
    ]
    assert panel["gaps"] == []


def test_the_picture_is_dark_where_it_is_hidden():
    address = panel_picture(halves(), 5)
    image = np.array(Image.open(BytesIO(b64decode(address.partition(",")[2]))))
    assert image.shape == (320, 640, 3)
    assert (image[:, :320] == HIDDEN_RGB).all()
    assert (image[:, 320:] == OPEN_RGB).all()


def test_text_of_the_document_is_never_markup():
    asked = replace(MISSED, name="<script>alert(1)</script>")
    page = conditions_page(conditions_words(yard(), findings(requirements=(asked,))))
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert "A &lt;b&gt;yard&lt;/b&gt;" in page
    assert "&lt;i&gt;" in waiting_page(yard().title, "Trying what would meet <i>")


def test_a_page_that_waits_looks_again_and_one_with_a_mistake_does_not():
    assert 'http-equiv="refresh"' in waiting_page(yard().title, "Growing")
    told = mistaken_page(yard().title, "planting[1]: <i> is not known")
    assert "planting[1]: &lt;i&gt; is not known" in told
    assert "refresh" not in told


def test_a_yard_that_asks_nothing_says_so():
    words = conditions_words(yard(), findings())
    assert words["heading"] == NOTHING_ASKED
    assert NOTHING_ASKED.partition("[[")[0] in conditions_page(words)


def test_every_figure_of_the_terminal_is_on_the_page():
    view = Screening("lane", "screen", "bare", SERIES, SERIES, picture=halves())
    tables = conditions_words(yard(), findings(screening=(view,)))["tables"]
    opacity = next(one for one in tables if one["title"].startswith("Opacity"))
    assert opacity["rows"][0][0] == "lane (screen), winter"
    assert opacity["rows"][0][1] == "60 (50-70)"
    assert opacity["figures"] == [False, True, True, True, True]
