import errno
import os

import pytest

from scenes import history as histories
from scenes.history import History, appended, begun, history_path, read


@pytest.fixture
def document(tmp_path):
    path = tmp_path / "yard.toml"
    path.write_text("a = 1\n", encoding="utf-8")
    return path


def _grown(document, count):
    """A history of so many steps that each make the number in the document one larger."""
    file = history_path(document)
    filed = begun(file, "a = 0\n", document=document)
    for n in range(1, count + 1):
        filed = appended(file, filed, filed.with_step("edit", f"step {n}", f"a = {n}\n"))
    return file, filed


def test_it_lies_beside_the_document_itself(tmp_path, document) -> None:
    (tmp_path / "links").mkdir()
    link = tmp_path / "links" / "other.toml"
    link.symlink_to(document)
    assert history_path(link) == tmp_path.resolve() / ".yard.toml.history"


def test_steps_are_read_as_they_were_written(document) -> None:
    file, filed = _grown(document, 3)
    assert read(file) == filed
    assert filed.text == "a = 3\n"
    assert filed.around(2) == ("a = 1\n", "a = 2\n")
    assert [step.words for step in filed.done] == ["step 1", "step 2", "step 3"]


def test_undone_edits_wait_until_something_else_is_done() -> None:
    history = History("a")
    for do, text, of in [
        ("edit", "b", 0), ("edit", "c", 0), ("undo", "b", 2), ("found", "bx", 0), ("undo", "ax", 1),
    ]:  # fmt: skip
        history = history.with_step(do, do, text, of=of)
    assert [step.number for step in history.done] == []
    assert [step.number for step in history.undone] == [2, 1]
    again = history.with_step("redo", "redo", "bx", of=1)
    assert [step.number for step in again.done] == [1]
    assert again.with_step("edit", "edit", "d").undone == ()


@pytest.mark.parametrize("left", range(1, 60, 7))
def test_a_torn_end_is_left_out_and_written_over(document, left) -> None:
    file, filed = _grown(document, 3)
    two = read(file)
    with file.open("r+b") as cut:
        cut.truncate(filed.size - left if left < 60 else filed.size)
    two = read(file)
    assert len(two.steps) < 3
    again = appended(file, two, two.with_step("edit", "again", "a = 9\n"))
    assert read(file) == again
    assert again.text == "a = 9\n"


def test_a_damaged_record_ends_what_is_read(document) -> None:
    file, filed = _grown(document, 3)
    data = bytearray(file.read_bytes())
    data[filed.size - 3] ^= 1
    file.write_bytes(data)
    assert [step.number for step in read(file).steps] == [1, 2]


def test_a_full_disk_leaves_the_file_as_it_was(document, monkeypatch) -> None:
    file, filed = _grown(document, 2)
    before, write = file.read_bytes(), os.write

    def half(where, data):
        write(where, data[: len(data) // 2])
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", half)
        with pytest.raises(OSError, match="No space"):
            appended(file, filed, filed.with_step("edit", "more", "a = 7\n"))
    assert file.read_bytes() == before


def test_the_oldest_steps_go_where_it_grows_too_long(document, monkeypatch) -> None:
    monkeypatch.setattr(histories, "MOST_BYTES", 3_000)
    file, filed = _grown(document, 100)
    assert file.stat().st_size <= 3_000
    assert read(file) == filed
    assert filed.text == "a = 100\n"
    assert filed.done[-1].number == 100
    assert 5 < len(filed.done) < 100
    assert filed.around(filed.done[0].number)[1] == f"a = {filed.done[0].number}\n"


def test_an_undo_whose_edit_is_gone_does_not_take_back_another(document) -> None:
    """Of a history that begins behind edit 1: its undo and redo do not touch edit 2."""
    history = History("b")
    for do, text, of in [("edit", "c", 0), ("undo", "b", 1), ("undo", "a", -5), ("redo", "b", -5)]:
        history = history.with_step(do, do, text, of=of)
    assert history.done == ()
    assert [step.number for step in history.undone] == [1]


def test_a_file_that_is_something_else_is_refused(document) -> None:
    file = history_path(document)
    file.write_bytes(b"my own notes")
    with pytest.raises(ValueError, match="is not a history of a document; move it"):
        read(file)
    file.unlink()
    file.symlink_to(document)
    with pytest.raises(ValueError, match="is a link"):
        read(file)


def test_what_was_torn_at_its_very_beginning_is_none(document) -> None:
    file, _ = _grown(document, 1)
    data = file.read_bytes()
    for length in (0, 5, len(histories.MAGIC), len(histories.MAGIC) + 12):
        file.write_bytes(data[:length])
        assert read(file) is None


def test_the_oldest_steps_go_where_there_are_too_many(document, monkeypatch) -> None:
    monkeypatch.setattr(histories, "MOST_STEPS", 10)
    file, filed = _grown(document, 11)
    assert [step.number for step in filed.done] == [7, 8, 9, 10, 11]
    assert read(file) == filed
