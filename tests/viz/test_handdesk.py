"""A page of the plan and its desk: what is asked is done once, refused in words, or asked about."""

import shutil
from pathlib import Path

import pytest

import scenes
from viz.handdesk import Drafts, Hand
from viz.planpage import PlanView

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
POINTS = "at = [[2, 1.5], [3, 1.5]]"
EAST = {"do": "move", "of": "planting[2]", "plants": [1], "by_m": [1, 0]}


@pytest.fixture
def path(tmp_path) -> Path:
    shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
    return Path(shutil.copy(SMALL, tmp_path / "yard.toml"))


def page_of(path: Path) -> Hand:
    hand = Hand(PlanView(), path, Drafts(), wrote=lambda: None)
    hand.begin(scenes.load(path))
    return hand


def ask(hand: Hand, rev: int, **message) -> dict:
    """What the page is told after asking."""
    hand.asked({"rev": rev, **message})
    return hand._view.state


def test_an_edit_is_done_undone_and_redone(path):
    before, hand = path.read_text(encoding="utf-8"), page_of(path)
    told = ask(hand, 1, ask="edit", edit=EAST)
    assert (told["said"]["kind"], told["rev"]) == ("done", 2)
    assert "at = [[2, 1.5], [4, 1.5]]" in path.read_text(encoding="utf-8")
    assert told["undo"] == told["said"]["words"]
    told = ask(hand, 2, ask="undo")
    assert path.read_text(encoding="utf-8") == before
    assert (told["undo"], told["redo"]) == ("", "Moved Hydrangea arborescens in planting 2 by 1 m")
    ask(hand, 3, ask="redo")
    assert "[4, 1.5]" in path.read_text(encoding="utf-8")


def test_an_edit_names_what_its_page_saw(path):
    """Another planting is written before the one that the page calls planting[2]."""
    hand, text = page_of(path), path.read_text(encoding="utf-8")
    more = '[[planting]]\nplant = "Carex morrowii"\nsize = "#1"\nat = [[5, 8]]\n\n'
    first = text.index("[[planting]]")
    path.write_text(text[:first] + more + text[first:], encoding="utf-8")
    told = ask(hand, 1, ask="edit", edit=EAST)
    assert told["said"]["kind"] == "done"
    assert scenes.load(path).planting[2].at == ((2, 1.5), (4, 1.5))
    assert scenes.load(path).planting[0].at == ((5, 8),)


def test_what_could_not_grow_is_refused_before_it_is_written(path):
    """A shrub is not sold by caliper, which the document's own rules cannot know."""
    before, hand = path.read_bytes(), page_of(path)
    edit = {"do": "swap", "of": "planting[2]", "size": "2 in cal"}
    told = ask(hand, 1, ask="edit", edit=edit)
    assert told["said"]["kind"] == "refused"
    assert "planting[2]" in told["said"]["words"]
    assert path.read_bytes() == before


@pytest.mark.parametrize("message", [
    {"ask": "edit"}, {"ask": "edit", "edit": []}, {"ask": "edit", "edit": {"do": "burn"}},
    {"ask": "edit", "edit": {**EAST, "by_m": ["far", 0]}},
])  # fmt: skip
def test_what_is_no_edit_is_refused(path, message):
    before, hand = path.read_bytes(), page_of(path)
    assert ask(hand, 1, **message)["said"]["kind"] == "refused"
    assert path.read_bytes() == before


def test_a_state_long_past_is_not_edited(path):
    before, hand = path.read_bytes(), page_of(path)
    assert "read again" in ask(hand, 77, ask="edit", edit=EAST)["said"]["words"]
    hand.asked("nonsense")
    hand.asked({"ask": "elsewhere"})
    assert path.read_bytes() == before


def test_a_clash_is_asked_about_and_the_answer_is_taken(path):
    hand, text = page_of(path), path.read_text(encoding="utf-8")
    theirs = text.replace(POINTS, "at = [[2, 1.5], [3, 2]]")
    path.write_text(theirs, encoding="utf-8")
    told = ask(hand, 1, ask="edit", edit=EAST)
    assert told["said"]["kind"] == "asks"
    assert path.read_text(encoding="utf-8") == theirs
    told = ask(hand, 1, ask="edit", edit=EAST, answer=told["said"]["answer"])
    assert told["said"]["kind"] == "done"
    assert scenes.load(path).planting[1].at == ((2, 1.5), (4, 1.5))


def test_a_mistake_is_told_and_the_last_good_plan_stays(path):
    hand, text = page_of(path), path.read_text(encoding="utf-8")
    sheet = hand._view.sheet
    path.write_text(text.replace("smooth", "smoth").replace(POINTS, "at = 4"), encoding="utf-8")
    hand.look_again()
    assert hand._view.state["mistakes"][0].startswith("yard.toml: planting[2].at")
    assert hand._view.sheet is sheet
    path.write_text(text, encoding="utf-8")
    hand.look_again()
    assert hand._view.state["mistakes"] == []


def test_nothing_is_told_where_nothing_changed(path):
    hand = page_of(path)
    count = hand._view.state["count"]
    hand.look_again()
    assert hand._view.state["count"] == count


def test_a_page_of_a_document_that_is_wrong_shows_the_yard_last_read(path):
    yard = scenes.load(path)
    path.write_text("title = ", encoding="utf-8")
    hand = Hand(PlanView(), path, Drafts(), wrote=lambda: None)
    hand.begin(yard)
    assert hand._view.sheet["data"]["tables"]
    assert "not TOML" in hand._view.state["mistakes"][0]
    assert "read again" in ask(hand, 0, ask="edit", edit=EAST)["said"]["words"]


def test_the_same_words_are_answered_every_time_they_are_asked(path):
    """Two lists ask: plants to set, and plants to swap in; each waits for an answer of its own."""
    hand, heard = page_of(path), []
    hand._view.param.watch(lambda event: heard.append(event.new["plants"]), "found")
    for _ in range(2):
        hand.asked({"ask": "search", "words": "Ilex glabra"})
    assert [[plant["name"] for plant in plants] for plants in heard] == [["Ilex glabra"]] * 2


def test_what_is_written_is_told_and_nothing_else(path):
    told = []
    hand = Hand(PlanView(), path, Drafts(), wrote=lambda: told.append(path.read_bytes()))
    hand.begin(scenes.load(path))
    before = path.read_bytes()
    refused = ask(hand, 1, ask="edit", edit={**EAST, "by_m": [100, 0]})
    assert (told, refused["said"]["kind"]) == ([], "refused")
    done = ask(hand, refused["rev"], ask="edit", edit=EAST)
    ask(hand, done["rev"], ask="undo")
    assert len(told) == 2
    assert b"[4, 1.5]" in told[0]
    assert told[1] == before
