import errno
import os
import stat

import pytest

from scenes.replacing import facts, replaced, why_not


def test_bytes_take_the_place_and_the_rights_stay(tmp_path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    assert replaced(path, b"new", like=path)
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_keeps_leading_to_the_file(tmp_path) -> None:
    (tmp_path / "real").mkdir()
    path, link = tmp_path / "real" / "a.toml", tmp_path / "link.toml"
    path.write_bytes(b"old")
    link.symlink_to(path)
    assert replaced(link, b"new", like=link)
    assert link.is_symlink()
    assert path.read_bytes() == b"new"


def test_a_file_that_is_another_one_now_is_left(tmp_path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"old")
    seen = facts(path)
    path.write_bytes(b"theirs")
    assert not replaced(path, b"new", like=path, expected=seen)
    assert path.read_bytes() == b"theirs"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("call", ["write", "fsync", "replace"])
def test_a_full_disk_leaves_the_old_file(tmp_path, monkeypatch, call) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"old")

    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, call, full)
        with pytest.raises(OSError, match="No space left"):
            replaced(path, b"new", like=path)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_disk_that_takes_a_byte_at_a_time_gets_all(tmp_path, monkeypatch) -> None:
    path, write = tmp_path / "a.toml", os.write
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "write", lambda where, data: write(where, data[:1]))
    assert replaced(path, b"all of it", like=path)
    assert path.read_bytes() == b"all of it"


def test_what_is_left_of_a_killed_try_is_no_hindrance(tmp_path) -> None:
    path, other = tmp_path / "a.toml", tmp_path / "other"
    path.write_bytes(b"old")
    other.write_bytes(b"untouched")
    (tmp_path / ".a.toml.part").symlink_to(other)
    assert replaced(path, b"new", like=path)
    assert other.read_bytes() == b"untouched"


def test_who_may_change_it_is_said_beforehand(tmp_path) -> None:
    path = tmp_path / "yard" / "a.toml"
    path.parent.mkdir()
    path.write_bytes(b"old")
    assert why_not(path) is None
    path.chmod(0o444)
    assert why_not(path).startswith("the document is read-only; make it writable")
    path.chmod(0o644)
    path.parent.chmod(0o555)
    assert why_not(path).startswith("its folder is read-only;")
    path.parent.chmod(0o755)
    assert "cannot be read" in why_not(tmp_path / "none.toml")
