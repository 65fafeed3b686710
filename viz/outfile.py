"""Files that are written whole or not at all: first beside their place, then moved to it."""

from collections.abc import Callable
from pathlib import Path

from viz.errors import ShowError


def may_be_written(out: Path) -> None:
    """Refuse a file before the work for it is done. Raises ShowError where it cannot be written."""
    if out.is_dir():
        raise ShowError(f"{out}: is a folder; name a file in a folder that can be written")
    _beside(out, lambda beside: beside.touch())


def written(out: Path, write: Callable[[Path], object]) -> None:
    """Let `write` write a file, so that a full disk costs no older one.

    Raises ShowError where nothing can be written.
    """

    def whole(beside: Path) -> None:
        write(beside)
        beside.replace(out)

    _beside(out, whole)


def _beside(out: Path, do: Callable[[Path], object]) -> None:
    beside = out.with_name(f".{out.name}.part")
    try:
        do(beside)
    except OSError as error:
        why = error.strerror or "cannot be written"
        raise ShowError(f"{out}: {why}; name a file in a folder that can be written") from error
    finally:
        beside.unlink(missing_ok=True)
