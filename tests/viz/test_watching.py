"""Watching: every save is told once and at rest, of the document and of the files it names."""

import threading
import time
from collections.abc import Iterator
from pathlib import Path
from queue import Empty, Queue

import pytest

from viz.watching import LOOK_S, Look, files_named, look, saves

DOCUMENT = """title = "Yard"
[ground]
survey = "data/lot.csv"
[[structure]]
model = "house.glb"
note = "2.4 m"
[[structure]]
model = "../outside.glb"
[[structure]]
model = "/etc/hosts.csv"
"""


@pytest.fixture
def document(tmp_path: Path) -> Path:
    path = tmp_path / "yard.toml"
    path.write_text(DOCUMENT, encoding="utf-8")
    return path


@pytest.fixture
def told(document: Path) -> Iterator["Queue[Look]"]:
    """What is told while the test runs; the watching thread ends with the tests."""
    queue: Queue[Look] = Queue()

    def watch(since: Look) -> None:
        for each in saves(document, since):
            queue.put(each)

    threading.Thread(target=watch, args=(look(document),), daemon=True).start()
    return queue


def test_files_are_those_inside_the_folder(document: Path) -> None:
    folder = document.parent
    assert files_named(document) == (folder / "data" / "lot.csv", folder / "house.glb")


@pytest.mark.parametrize("text", ["title = ", "", "a = " + 3000 * "[" + 3000 * "]", "\0"])
def test_a_document_that_is_no_toml_names_no_files(document: Path, text: str) -> None:
    document.write_text(text, encoding="utf-8")
    assert files_named(document) == ()


def test_a_save_is_told_once(document: Path, told: "Queue[Look]") -> None:
    document.write_text(DOCUMENT + "# more\n", encoding="utf-8")
    assert told.get(timeout=5) == look(document)
    with pytest.raises(Empty):
        told.get(timeout=5 * LOOK_S)


def test_a_file_that_comes_changes_and_goes_is_told(document: Path, told: "Queue[Look]") -> None:
    survey = document.parent / "data" / "lot.csv"
    survey.parent.mkdir()
    survey.write_text("x,y,z\n", encoding="utf-8")
    told.get(timeout=5)
    survey.write_text("x,y,z\n0,0,1\n", encoding="utf-8")
    told.get(timeout=5)
    survey.unlink()
    assert told.get(timeout=5).facts[1] is None


def test_a_file_that_is_still_being_written_is_waited_for(
    document: Path, told: "Queue[Look]"
) -> None:
    with document.open("a", encoding="utf-8") as slow:
        until = time.monotonic() + 6 * LOOK_S
        while time.monotonic() < until:
            slow.write("# a line\n")
            slow.flush()
            time.sleep(LOOK_S / 50)
    assert told.get(timeout=5) == look(document)
    assert told.empty()


def test_a_document_put_in_its_place_by_another_file_is_told(
    document: Path, told: "Queue[Look]"
) -> None:
    beside = document.with_suffix(".new")
    beside.write_text(DOCUMENT.replace("Yard", "Lot!"), encoding="utf-8")
    beside.replace(document)
    assert told.get(timeout=5) == look(document)


def test_nothing_is_waited_for_where_the_document_was_replaced_whole(
    document: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def waited(seconds: float) -> None:
        raise AssertionError(f"waited {seconds} s")

    since = look(document)
    document.write_text(DOCUMENT + "# more\n", encoding="utf-8")
    monkeypatch.setattr(time, "sleep", waited)
    assert next(saves(document, since, told_in=lambda _: True)) == look(document)
