"""Files written whole or not at all, and refused before the work for them is done."""

import pytest

from viz.errors import ShowError
from viz.outfile import may_be_written, written


def test_a_file_that_is_there_stays_until_the_new_one_is_whole(tmp_path):
    out = tmp_path / "yard.html"
    out.write_text("old")

    def half(beside):
        beside.write_text("half")
        assert out.read_text() == "old"
        raise OSError(28, "No space left on device")

    with pytest.raises(ShowError, match="No space left on device; name a file in a folder"):
        written(out, half)
    assert out.read_text() == "old"
    written(out, lambda beside: beside.write_text("new"))
    assert out.read_text() == "new"
    assert list(tmp_path.iterdir()) == [out]


def test_what_cannot_be_written_is_refused_and_what_can_leaves_nothing(tmp_path):
    may_be_written(tmp_path / "yard.html")
    assert list(tmp_path.iterdir()) == []
    for out in (tmp_path, tmp_path / "nowhere" / "yard.html"):
        with pytest.raises(ShowError, match="name a file in a folder that can be written"):
            may_be_written(out)
