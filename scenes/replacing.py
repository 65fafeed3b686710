"""A file replaced whole or not at all, so that no moment's end leaves half a document.

The new bytes are written beside the file, forced to the disk, and take its name in one step;
then the folder is forced too. Rights and owner stay; a link keeps leading to the file, which is
replaced where it lies. A second name of the same file (a hard link) keeps the old bytes.
"""

import contextlib
import os
import shutil
import stat
from pathlib import Path

Facts = tuple[int, int, int]
"""Time, size and number of a file: another one, or another text in it, differs in one of them."""


def facts(path: Path) -> Facts:
    """What tells a file from what it was before."""
    told = path.stat()
    return told.st_mtime_ns, told.st_size, told.st_ino


def replaced(path: Path, data: bytes, *, like: Path, expected: Facts | None = None) -> bool:
    """Put bytes in the place of a file, or of none, with the rights of another.

    False, and nothing done, where the file is no longer the expected one. OSError leaves the
    old file as it was.
    """
    path = path.resolve()
    beside = path.with_name(f".{path.name.lstrip('.')}.part")
    with contextlib.suppress(FileNotFoundError):
        beside.unlink()
    try:
        descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        try:
            _like(like, beside)
            write_all(descriptor, data)
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        if expected is not None and facts(path) != expected:
            beside.unlink()
            return False
        beside.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    force_folder(path.parent)
    return True


def write_all(descriptor: int, data: bytes) -> None:
    """Write every byte; a disk that takes fewer than asked is asked again."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def force_folder(folder: Path) -> None:
    """Force the names in a folder to the disk, where the system can."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):
            os.fsync(descriptor)
    finally:
        os.close(descriptor)


def why_not(path: Path) -> str | None:
    """Why a document cannot be changed, "wrong; remedy"; None where it can.

    A file or a folder whose rights let nobody write counts as one that shall not be changed,
    even for a user whom the system would let.
    """
    path = path.resolve()
    for one, what in ((path, "the document"), (path.parent, "its folder")):
        try:
            read_only = is_read_only(one)
        except OSError as error:
            return f"{what} cannot be read ({error.strerror}); name a document that is there"
        if read_only:
            return f"{what} is read-only; make it writable, or copy the document elsewhere"
    return None


def is_read_only(path: Path) -> bool:
    """Whether this user may not write a file or folder, or nobody's rights allow it."""
    rights = path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    return not rights or not os.access(path, os.W_OK)


def _like(path: Path, beside: Path) -> None:
    """Give a new file the rights, and where allowed the owner, of another."""
    told = path.stat()
    with contextlib.suppress(PermissionError):
        os.chown(beside, told.st_uid, told.st_gid)
    shutil.copystat(path, beside)
