import errno
import multiprocessing
import os
import shutil
import stat
from pathlib import Path

import pytest

import scenes
from scenes.desk import Desk
from scenes.errors import SceneError
from scenes.history import history_path

YARDS = Path(__file__).parent / "yards"
MOVE = {"do": "move", "of": "planting[2]", "plants": [0], "by_m": [0.5, 0]}
HYDRANGEAS = "at = [[2, 1.5], [3, 1.5]]"


@pytest.fixture
def path(tmp_path):
    for name in ("small.toml", "small-survey.csv"):
        shutil.copy(YARDS / name, tmp_path)
    return tmp_path / "small.toml"


def _save(path, old, new):
    """What an editor does: another text under the same name."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_opening_writes_nothing(path) -> None:
    before = sorted(path.parent.iterdir())
    desk = Desk(path)
    assert (desk.undo_words, desk.redo_words, desk.why_not) == (None, None, None)
    assert sorted(path.parent.iterdir()) == before


def test_edit_undo_redo_and_again_after_a_restart(path) -> None:
    first = path.read_bytes()
    desk = Desk(path)
    outcome = desk.apply(MOVE)
    assert outcome.done
    assert outcome.words == "Moved Hydrangea arborescens in planting 2 by 0.5 m"
    moved = path.read_bytes()
    assert moved == first.replace(HYDRANGEAS.encode(), b"at = [[2.5, 1.5], [3, 1.5]]")
    assert desk.yard.planting[1].at == ((2.5, 1.5), (3.0, 1.5))
    again = Desk(path)
    assert again.undo_words == outcome.words
    assert again.undo().words == f"Undid: {outcome.words}"
    assert path.read_bytes() == first
    assert Desk(path).redo().done
    assert path.read_bytes() == moved
    assert not Desk(path).redo().done


def test_a_refused_edit_leaves_everything_as_it_was(path) -> None:
    before = path.read_bytes()
    desk = Desk(path)
    outcome = desk.apply({**MOVE, "by_m": [50, 0]})
    assert not outcome.done
    assert "lies outside the boundary" in outcome.words
    assert path.read_bytes() == before
    assert not history_path(path).exists()
    assert desk.undo_words is None
    assert "nothing to undo" in desk.undo().words


def test_what_is_not_allowed_is_not_written_and_the_merged_yard_is_asked_about(path) -> None:
    desk = Desk(path)
    _save(path, 'soil = "loam"', 'soil = "clay"')
    before, asked = path.read_bytes(), []

    def refuse(yard, text):
        asked.append((yard.site.soil, yard.planting[1].at[0], text))
        raise SceneError("not here")

    outcome = desk.apply(MOVE, allow=refuse)
    assert (outcome.done, outcome.words) == (False, "not here")
    assert path.read_bytes() == before
    assert not history_path(path).exists()
    ((soil, at, text),) = asked
    assert (soil, at) == ("clay", (2.5, 1.5))
    assert desk.apply(MOVE).done
    assert path.read_text(encoding="utf-8") == text


def test_changes_of_an_editor_elsewhere_are_merged(path) -> None:
    first = path.read_text(encoding="utf-8")
    desk = Desk(path)
    _save(path, 'soil = "loam"', 'soil = "clay"')
    _save(path, "# An invented", "# New on top\n\n# An invented")
    assert desk.apply(MOVE).done
    text = path.read_text(encoding="utf-8")
    assert 'soil = "clay"' in text
    assert "[[2.5, 1.5], [3, 1.5]]" in text
    assert desk.undo().done
    theirs = first.replace('"loam"', '"clay"').replace("# An inv", "# New on top\n\n# An inv")
    assert path.read_text(encoding="utf-8") == theirs


def test_numbers_of_tables_are_those_that_were_seen(path) -> None:
    """An editor puts a planting before the one that is moved; the right one moves."""
    desk = Desk(path)
    more = '[[planting]]\nplant = "Ilex glabra"\nsize = "#5"\nat = [[6, 9]]\n\n'
    _save(path, "[[planting]]", f"{more}[[planting]]")
    assert desk.apply(MOVE).done
    assert desk.yard.planting[0].at == ((6.0, 9.0),)
    assert desk.yard.planting[2].at == ((2.5, 1.5), (3.0, 1.5))


def test_a_clash_asks_and_the_answer_is_bound_to_what_was_asked(path) -> None:
    desk = Desk(path)
    _save(path, HYDRANGEAS, "at = [[2, 1.8], [3, 1.5]]")
    theirs = path.read_bytes()
    asked = desk.apply(MOVE)
    assert not asked.done
    assert asked.question.clashes == ("at of planting[2] was changed by you and in the document",)
    assert path.read_bytes() == theirs
    _save(path, "[2, 1.8]", "[2, 1.9]")
    again = desk.apply(MOVE, answer=asked.question.answer)
    assert not again.done
    assert again.question is not None
    assert desk.apply(MOVE, answer=again.question.answer).done
    assert desk.yard.planting[1].at == ((2.5, 1.5), (3.0, 1.5))
    assert desk.undo().done
    assert "[2, 1.9]" in path.read_text(encoding="utf-8")


def test_undo_across_a_change_of_the_same_key_asks(path) -> None:
    desk = Desk(path)
    assert desk.apply(MOVE).done
    _save(path, "[2.5, 1.5]", "[2.5, 2]")
    asked = desk.undo()
    assert not asked.done
    assert "[2.5, 2]" in path.read_text(encoding="utf-8")
    assert desk.undo(answer=asked.question.answer).done
    assert HYDRANGEAS in path.read_text(encoding="utf-8")


def test_changes_that_do_not_go_together_are_refused(path) -> None:
    """The bed is taken out elsewhere while a fill of it is planted here."""
    text = path.read_text(encoding="utf-8")
    bed = text[text.index("[[bed]]") : text.index("[[structure]]")]
    fill = text[text.index('[[planting]]\nplant = "Carex') : text.index("[[view]]")]
    closed = text[
        text.index('[[requirement]]\nname = "Bed') : text.index('[[requirement]]\nname = "Can')
    ]
    desk = Desk(path)
    for gone in (bed, fill, closed):
        _save(path, gone, "")
    theirs = path.read_bytes()
    planted = {"do": "plant", "plant": "Ilex glabra", "size": "#1", "fill": "lane bed"}
    outcome = desk.apply({**planted, "spacing_m": 1.0})
    assert not outcome.done
    assert '"lane bed" is not a bed' in outcome.words
    assert path.read_bytes() == theirs


@pytest.mark.parametrize("broken", ["title = ", "[site", "title = 'x'\n"])
def test_a_document_that_is_wrong_meanwhile_is_not_touched(path, broken) -> None:
    desk = Desk(path)
    path.write_text(broken, encoding="utf-8")
    outcome = desk.apply(MOVE)
    assert not outcome.done
    assert outcome.words.startswith("small.toml: ")
    assert path.read_text(encoding="utf-8") == broken
    with pytest.raises(scenes.SceneError):
        desk.refresh()


def test_a_document_that_is_gone_is_not_made_again(path) -> None:
    desk = Desk(path)
    path.unlink()
    assert not desk.apply(MOVE).done
    assert not path.exists()


def test_an_edit_taken_back_by_an_editor_counts_as_undone(path) -> None:
    first = path.read_bytes()
    desk = Desk(path)
    desk.apply(MOVE)
    path.write_bytes(first)
    assert desk.refresh()
    assert desk.undo_words is None
    assert desk.redo().done
    assert path.read_bytes() != first


def test_two_desks_see_each_other(path) -> None:
    one, other = Desk(path), Desk(path)
    other_plant = {"do": "move", "of": "kept[1]", "by_m": [0, 0.5]}
    assert one.apply(MOVE).done
    assert other.apply(other_plant).done
    assert other.yard.planting[1].at == ((2.5, 1.5), (3.0, 1.5))
    assert one.refresh()
    assert not one.refresh()
    assert one.text == other.text
    assert one.undo_words == "Moved Acer rubrum in kept 1 by 0.5 m"


def test_a_desk_does_not_undo_what_it_has_not_seen(path) -> None:
    one, other = Desk(path), Desk(path)
    one.apply(MOVE)
    other.apply({"do": "move", "of": "kept[1]", "by_m": [0, 0.5]})
    refused = one.undo()
    assert not refused.done
    assert refused.words.startswith('the last step is now "Moved Acer rubrum')
    assert one.undo().done
    assert one.undo_words.startswith("Moved Hydrangea")


def _moves_of_its_own(path, table, count):
    desk = Desk(path)
    for n in range(count):
        sign = 1 if n % 2 == 0 else -1
        edit = {"do": "move", "of": table, "by_m": [0.1 * sign, 0]}
        assert desk.apply(edit).done


def test_two_processes_lose_none_of_each_others_steps(path) -> None:
    first = path.read_bytes()
    spawn = multiprocessing.get_context("spawn")
    both = [
        spawn.Process(target=_moves_of_its_own, args=(path, table, 11))
        for table in ("planting[2]", "kept[1]")
    ]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
        assert process.exitcode == 0
    desk = Desk(path)
    assert desk.yard.planting[1].at == ((2.1, 1.5), (3.1, 1.5))
    assert desk.yard.kept[0].at == (2.6, 7.5)
    undone = 0
    while desk.undo_words is not None:
        assert desk.undo().done
        undone += 1
    assert undone == 22
    assert path.read_bytes() == first


def test_an_editor_that_saves_amid_a_change_is_not_overwritten(path, monkeypatch) -> None:
    desk, fsync, saved = Desk(path), os.fsync, []

    def saving(descriptor):
        fsync(descriptor)
        if not saved:
            saved.append(1)
            _save(path, 'soil = "loam"', 'soil = "sand"')

    monkeypatch.setattr(os, "fsync", saving)
    assert desk.apply(MOVE).done
    assert saved
    assert 'soil = "sand"' in path.read_text(encoding="utf-8")
    assert desk.undo().done
    assert HYDRANGEAS in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("full_at", range(1, 8))
def test_a_full_disk_leaves_the_old_document_and_the_way_back(path, monkeypatch, full_at) -> None:
    desk = Desk(path)
    assert desk.apply({"do": "move", "of": "kept[1]", "by_m": [0, 0.5]}).done
    before, history = path.read_bytes(), history_path(path).read_bytes()
    calls = []

    def guarded(call):
        def full(*args, **kwargs):
            calls.append(call)
            if len(calls) == full_at:
                raise OSError(errno.ENOSPC, "No space left on device")
            return call(*args, **kwargs)

        return full

    with monkeypatch.context() as patch:
        for name in ("write", "fsync", "replace"):
            patch.setattr(os, name, guarded(getattr(os, name)))
        outcome = desk.apply(MOVE)
    if outcome.done:
        assert len(calls) < full_at or full_at == 6  # the folder's own fsync may fail in peace
        return
    assert outcome.words == "small.toml: nothing was changed: No space left on device"
    assert path.read_bytes() == before
    assert history_path(path).read_bytes() == history
    assert desk.apply(MOVE).done
    assert desk.undo().done
    assert desk.undo().done
    assert HYDRANGEAS in path.read_text(encoding="utf-8")


def test_a_read_only_document_says_so_before_anything(path) -> None:
    path.chmod(0o444)
    desk = Desk(path)
    assert "read-only" in desk.why_not
    outcome = desk.apply(MOVE)
    assert outcome.words.startswith("small.toml: the document is read-only; make it writable")
    path.chmod(0o644)
    desk.refresh()
    assert desk.apply(MOVE).done


def test_a_read_only_history_says_so_too(path) -> None:
    desk = Desk(path)
    assert desk.apply(MOVE).done
    history_path(path).chmod(0o444)
    before = path.read_bytes()
    assert Desk(path).why_not == "its history .small.toml.history is read-only; make it writable"
    assert not Desk(path).undo().done
    assert path.read_bytes() == before


def test_rights_and_links_stay_and_the_history_has_the_rights(path, tmp_path) -> None:
    path.chmod(0o640)
    (tmp_path / "links").mkdir()
    link = tmp_path / "links" / "yard.toml"
    link.symlink_to(path)
    desk = Desk(link)
    assert desk.apply(MOVE).done
    assert link.is_symlink()
    for one in (path, history_path(path)):
        assert stat.S_IMODE(one.stat().st_mode) == 0o640
    assert list((tmp_path / "links").iterdir()) == [link]
    assert Desk(path).undo_words == desk.undo_words


def test_marks_and_line_ends_of_the_document_stay(path) -> None:
    first = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(first)
    desk = Desk(path)
    assert desk.apply(MOVE).done
    assert desk.apply({"do": "clip", "of": "planting[1]", "plants": [1], "height_m": 2}).done
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf# An invented")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert desk.undo().done
    assert desk.undo().done
    assert path.read_bytes() == first


def test_a_history_that_is_something_else_is_left_alone(path) -> None:
    history_path(path).write_text("my notes", encoding="utf-8")
    with pytest.raises(scenes.SceneError, match=r"\.small\.toml\.history: is not a history"):
        Desk(path)
    assert history_path(path).read_text(encoding="utf-8") == "my notes"


def test_undoing_a_plant_of_another_history_is_not_possible(path) -> None:
    """Without the history the document still opens; there is just nothing to undo."""
    Desk(path).apply(MOVE)
    history_path(path).unlink()
    desk = Desk(path)
    assert desk.undo_words is None
    assert desk.apply(MOVE).done
