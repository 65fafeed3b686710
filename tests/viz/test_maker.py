"""The making process: what it tells in which order, mistakes, and findings as a plain check's."""

import json
import os
import pickle
import shutil
from multiprocessing import Pipe, active_children
from pathlib import Path
from typing import Any

import pytest

import scenes
from scenes.document import Yard
from viz.checker import planned
from viz.maker import LOWER, REPLACED, SEEN, STEPS, Maker, _told_in, making
from viz.pack import contents
from viz.sentlater import words_of
from viz.shown import Shown, composed

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"


def made(maker: Maker, told: list[tuple[str, Any]], path: Path) -> list[tuple[str, Any]]:
    told.clear()
    maker.make(path)
    return list(told)


@pytest.fixture
def document(tmp_path: Path) -> Path:
    shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
    return Path(shutil.copy(SMALL, tmp_path))


def test_the_picture_comes_before_the_checks_and_all_is_told_in_order(document: Path) -> None:
    with making(document) as line:
        heard = []
        while not heard or heard[-1][0] != "race":
            heard.append(line.recv())
    whats = [what if what != "step" else STEPS[value] for what, value in heard]
    drawn = STEPS.index("Picture") + 1
    assert whats == ["read", *STEPS[:drawn], "picture", *STEPS[drawn:], "figures", "race"]
    read = heard[0][1]
    assert pickle.loads(read["yard"]) == scenes.load(document)
    early = dict(heard)["picture"]
    rows = early["words"]["rows"]
    assert [row["name"] for row in rows] == [
        row["name"] for row in dict(heard)["figures"]["words"]["rows"]
    ]
    assert all(row["courses"] == [] for row in rows)
    assert {verdict["text"] for verdict in early["story"]["verdicts"]} == {"not computed yet"}
    assert "not computed yet" in early["story"]["newly"]  # in whatever year the page stands
    assert dict(heard)["figures"]["story"]["newly"].startswith("Newly planted")


def test_only_the_first_checks_wait_until_the_picture_is_seen(document: Path) -> None:
    order: list[str] = []
    tell = lambda what, value: order.append(STEPS[value] if what == "step" else what)  # noqa: E731
    maker = Maker(tell, lambda: order.append("seen"))
    maker.make(document)
    first = list(order)
    order.clear()
    maker.make(document)
    at = first.index("seen")
    assert first[at - 1 : at + 2] == ["picture", "seen", "Checks"]
    assert order == [what for what in first if what != "seen"]


def test_it_stands_back_once_however_often_the_document_is_saved(document: Path) -> None:
    with making(document) as line:
        (process,) = active_children()
        line.send(SEEN)
        while line.recv()[0] != "race":
            pass
        document.write_text(document.read_text(encoding="utf-8") + "\n", encoding="utf-8")
        while line.recv()[0] != "race":
            pass
        lower = os.getpriority(os.PRIO_PROCESS, process.pid)
    assert lower == min(19, os.getpriority(os.PRIO_PROCESS, 0) + LOWER)


def whole_yard(yard: Yard) -> Shown:
    return composed(planned(yard, light=False))


SHRUB = "at = [[2, 1.5], [3, 1.5]]", "at = [[2.4, 1.5], [3, 1.5]]"
EDITS = (
    ('title = "Small yard"', 'title = "Small yard"'),
    ('title = "Small yard"', 'title = "Another yard"'),
    SHRUB,
    ("along = [[7, 1.2], [10.2, 1.2]]", "along = [[7, 1.5], [10.2, 1.3]]"),
    ("at = [2.5, 7.5]", "at = [3.1, 7.1]"),
    ("level = 10.25", "level = 10.3"),
)
"""Nothing, the title, a shrub, a hedge, a kept tree and the ground, each from the same text."""


def test_after_edits_it_tells_what_a_page_made_at_once_shows(document: Path) -> None:
    told: list[tuple[str, Any]] = []
    maker = Maker(lambda what, value: told.append((what, value)))
    text = document.read_text(encoding="utf-8")
    told_so_far: dict[str, dict[str, Any]] = {"picture": {}, "figures": {}}
    for old, new in EDITS:
        assert old in text
        document.write_text(text.replace(old, new), encoding="utf-8")
        heard = dict(made(maker, told, document))
        for what, parts in told_so_far.items():
            parts.update(heard[what])
        yard = scenes.load(document)
        ready = whole_yard(yard)
        whole = {**told_so_far["picture"], **told_so_far["figures"]}
        assert whole.pop("words") == words_of(ready)
        assert whole.pop("yard") == pickle.dumps(yard)
        plain = contents(ready)
        plain.pop("hours")
        assert json.dumps(whole.pop("story")) == json.dumps(plain.pop("story"))
        assert whole == plain


def test_after_an_edit_only_what_it_changed_is_told(document: Path) -> None:
    told: list[tuple[str, Any]] = []
    maker = Maker(lambda what, value: told.append((what, value)))
    made(maker, told, document)
    text = document.read_text(encoding="utf-8")
    document.write_text(text.replace(*SHRUB), encoding="utf-8")
    heard = dict(made(maker, told, document))
    assert set(heard["picture"]) == {"plants"}
    assert "yard" in heard["figures"]
    assert not {"words", "views"} & set(heard["figures"])


def test_the_yard_is_told_again_when_only_its_survey_is_another(document: Path) -> None:
    """Else what was reckoned of it at a visit, its sun or its stills, would stay as it was."""
    told: list[tuple[str, Any]] = []
    maker = Maker(lambda what, value: told.append((what, value)))
    made(maker, told, document)
    survey = document.with_name("small-survey.csv")
    text = survey.read_text(encoding="utf-8")
    survey.write_text(text.replace("14,14,10.70", "14,14,10.90"), encoding="utf-8")
    heard = dict(made(maker, told, document))
    assert "ground" in heard["picture"]
    assert heard["figures"]["yard"] == pickle.dumps(scenes.load(document))


def test_a_mistake_is_told_at_any_step_and_mended(document: Path) -> None:
    told: list[tuple[str, Any]] = []
    maker = Maker(lambda what, value: told.append((what, value)))
    text = document.read_text(encoding="utf-8")
    for wrong, word in (
        (text.replace("title =", "titel ="), "titel"),
        (_nonesuch(text), "Nonesuch"),
    ):
        document.write_text(wrong, encoding="utf-8")
        what, lines = made(maker, told, document)[-1]
        assert what == "mistakes"
        assert word in "\n".join(lines)
    document.write_text(text, encoding="utf-8")
    assert made(maker, told, document)[-1][0] == "race"


def _nonesuch(text: str) -> str:
    head, plant, tail = text.partition('plant = "')
    return head + plant + "Nonesuch " + tail


def test_it_is_told_that_the_document_was_replaced() -> None:
    ours, theirs = Pipe()
    assert not _told_in(theirs, 0)
    for what in (SEEN, REPLACED, REPLACED):
        ours.send(what)
    assert _told_in(theirs, 5)
    assert not _told_in(theirs, 0)  # all were heard at once
    ours.send(SEEN)
    assert not _told_in(theirs, 5)
    ours.close()
    with pytest.raises(EOFError):
        _told_in(theirs, 5)
