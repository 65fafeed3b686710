"""Pictures kept between starts: given back whole or not at all, and only for the very same yard."""

import os
import pickle
import shutil
from collections import OrderedDict
from pathlib import Path
from typing import Any

import pytest

from viz.keptpictures import ENDING, MOST_KEPT, KeptPictures, cache_folder
from viz.maker import SEEN, STEPS, Maker, making

SMALL = Path(__file__).parents[1] / "scenes" / "yards" / "small.toml"
PICTURE = {"ground": {"bytes": b"\0\1\2" * 1000, "data": {"points": {"array": ["int8", 0, 3]}}}}


@pytest.fixture
def document(tmp_path: Path) -> Path:
    shutil.copy(SMALL.with_name("small-survey.csv"), tmp_path)
    return Path(shutil.copy(SMALL, tmp_path))


def told(document: Path, folder: Path) -> list[tuple[str, Any]]:
    """What a start tells, from the document read to the race."""
    said: list[tuple[str, Any]] = []
    Maker(lambda what, value: said.append((what, value)), bool, folder).make(document)
    return [(STEPS[value] if what == "step" else what, value) for what, value in said]


class _EnoughError(Exception):
    """The making need not go on."""


def told_first(document: Path, folder: Path) -> str:
    """What a start tells once the document is read; it ends where the checks would begin."""
    said: list[str] = []

    def tell(what: str, value: Any) -> None:
        said.append(STEPS[value] if what == "step" else what)
        if said[-1] == STEPS[-1]:
            raise _EnoughError

    with pytest.raises(_EnoughError):
        Maker(tell, lambda: None, folder).make(document)
    return said[1]


def test_what_is_kept_comes_back_the_same(tmp_path: Path) -> None:
    pictures = KeptPictures(tmp_path / "new" / "folder")
    assert pictures.kept("one") is None
    pictures.keep("one", PICTURE)
    assert pictures.kept("one") == PICTURE
    assert pictures.kept("other") is None


def test_without_a_folder_nothing_is_kept(tmp_path: Path) -> None:
    pictures = KeptPictures(None)
    pictures.keep("one", PICTURE)
    assert pictures.kept("one") is None


def test_what_is_cut_short_changed_or_no_plain_data_is_not_used(tmp_path: Path) -> None:
    pictures = KeptPictures(tmp_path)
    pictures.keep("one", PICTURE)
    file = tmp_path / f"one{ENDING}"
    whole = file.read_bytes()
    for broken in (b"", whole[:20], whole[:-1], whole[:500] + b"x" + whole[501:]):
        file.write_bytes(broken)
        assert pictures.kept("one") is None
    pictures.keep("one", OrderedDict(PICTURE))  # a mapping, but one that loading would have to make
    assert pickle.loads(file.read_bytes()[32:]) == PICTURE
    assert pictures.kept("one") is None


def test_a_folder_that_cannot_be_is_no_mistake(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    pictures = KeptPictures(tmp_path / "file" / "folder")
    pictures.keep("one", PICTURE)
    assert pictures.kept("one") is None


def test_only_the_latest_stay(tmp_path: Path) -> None:
    pictures = KeptPictures(tmp_path)
    for number in range(MOST_KEPT + 3):
        pictures.keep(str(number), PICTURE)
    assert len(list(tmp_path.iterdir())) == MOST_KEPT
    assert pictures.kept(str(MOST_KEPT + 2)) == PICTURE


def test_large_pictures_leave_fewer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pictures = KeptPictures(tmp_path)
    pictures.keep("0", PICTURE)
    (first,) = tmp_path.iterdir()
    monkeypatch.setattr("viz.keptpictures.MOST_BYTES", 2 * first.stat().st_size + 1)
    for number in range(1, 4):
        os.utime(tmp_path / f"{number - 1}{ENDING}", (number, number))  # each older than the next
        pictures.keep(str(number), PICTURE)
    assert sorted(file.name for file in tmp_path.iterdir()) == [f"2{ENDING}", f"3{ENDING}"]


def test_a_name_follows_from_the_document_and_its_files(tmp_path: Path) -> None:
    pictures, survey = KeptPictures(tmp_path), tmp_path / "survey.csv"
    document = tmp_path / "yard.toml"
    document.write_text("one")
    survey.write_text("0,0,1")
    name = pictures.name_of([document, survey])
    assert pictures.name_of([document, survey]) == name
    survey.write_text("0,0,2")
    assert pictures.name_of([document, survey]) != name
    document.write_text("one0,0,2")
    survey.write_text("")
    assert pictures.name_of([document, survey]) != name
    survey.unlink()
    assert pictures.name_of([document, survey]) != name


def test_a_second_start_tells_the_picture_at_once_and_no_other_after(
    document: Path, tmp_path: Path
) -> None:
    first, second = told(document, tmp_path / "kept"), told(document, tmp_path / "kept")
    plain = ["read", *STEPS[:4], "picture", STEPS[4], "figures", "race"]
    assert [what for what, _ in first] == plain
    assert [what for what, _ in second] == ["read", "picture", *STEPS, "figures", "race"]
    for what in ("picture", "figures", "race"):
        assert dict(second)[what] == dict(first)[what]


def test_a_wrong_picture_is_mended_by_the_one_that_is_made(document: Path, tmp_path: Path) -> None:
    right = dict(told(document, tmp_path / "kept"))["picture"]
    (file,) = (tmp_path / "kept").iterdir()
    pictures = KeptPictures(tmp_path / "kept")
    wrong = {**right, "views": right["ground"]}
    pictures.keep(file.stem, wrong)
    said = told(document, tmp_path / "kept")
    assert [value for what, value in said if what == "picture"] == [
        wrong,
        {"views": right["views"]},
    ]
    assert pictures.kept(file.stem) == right


def test_another_yard_is_not_taken_for_the_one_kept(document: Path, tmp_path: Path) -> None:
    assert told_first(document, tmp_path / "kept") == STEPS[0]
    text = document.read_text(encoding="utf-8")
    document.write_text(f"{text}\n# a remark\n", encoding="utf-8")
    assert told_first(document, tmp_path / "kept") == STEPS[0]
    assert told_first(document, tmp_path / "kept") == "picture"
    survey = document.with_name("small-survey.csv")
    survey.write_text(survey.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert told_first(document, tmp_path / "kept") == STEPS[0]


def test_a_start_of_another_process_finds_it(document: Path, tmp_path: Path) -> None:
    for second in (False, True):
        with making(document, pictures=tmp_path / "kept") as line:
            heard = [line.recv()[0] for _ in range(2)]
            assert heard == ["read", "picture" if second else "step"]
            line.send(SEEN)
            while line.recv()[0] != "figures":
                pass


def test_the_folder_is_where_caches_belong(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", "/somewhere/else")
    assert cache_folder() == Path("/somewhere/else/yardyears")
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", "/home/her")
    assert cache_folder() == Path("/home/her/.cache/yardyears")
