"""Pictures of documents as they were last made, kept between starts in the user's cache folder.

A start then shows at once what the same document showed before, and makes it anew beside that. A
picture is named by a digest of all that it is made from: the document, the files it names, our
own modules and tables, and the versions of the libraries. What is missing, cut short or holds
anything but plain data is as good as never kept; a folder that cannot be written is no mistake.
A few of the latest stay, within so many bytes.
"""

import io
import os
import pickle
import sys
from collections.abc import Sequence
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from importlib.metadata import version
from pathlib import Path
from typing import Any, NoReturn

OURS = Path(__file__).parents[1]
FLOORS = ("scenes", "growth", "viz")
LIBRARIES = ("numpy", "scipy", "shapely", "pyvista", "pillow", "pydantic", "pvlib")
MOST_KEPT, MOST_BYTES = 8, 50_000_000
DIGEST_BYTES = 32
ENDING = ".picture"


def cache_folder() -> Path:
    """Where programs of this user keep what can be made again, on this system."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return base / "yardyears"


class _Plain(pickle.Unpickler):
    """Reads numbers, text, bytes, and lists and mappings of them; nothing that could run."""

    def find_class(self, module: str, name: str) -> NoReturn:
        raise pickle.UnpicklingError(f"{module}.{name} is not plain data")


class KeptPictures:
    """Pictures in a folder."""

    def __init__(self, folder: Path | None) -> None:
        """The folder is made when there is something to keep; without one nothing is kept."""
        self._folder = folder

    def name_of(self, files: Sequence[Path]) -> str:
        """What the picture of a document and the files it names is kept under."""
        if self._folder is None:
            return ""
        stirred = blake2b(digest_size=DIGEST_BYTES)
        for part in (*map(_contents, files), _makers()):
            stirred.update(_digest(part))
        return stirred.hexdigest()

    def kept(self, name: str) -> dict[str, Any] | None:
        """The picture of a name, or None."""
        if self._folder is None:
            return None
        try:
            whole = (self._folder / f"{name}{ENDING}").read_bytes()
            if _digest(whole[DIGEST_BYTES:]) != whole[:DIGEST_BYTES]:
                return None
            picture = _Plain(io.BytesIO(whole[DIGEST_BYTES:])).load()
        except (OSError, pickle.UnpicklingError, EOFError):
            return None
        return picture if isinstance(picture, dict) else None

    def keep(self, name: str, picture: dict[str, Any]) -> None:
        """Keep a picture under its name, and forget the oldest."""
        if self._folder is None:
            return
        body = pickle.dumps(picture, protocol=5)
        with suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            part = self._folder / f"{name}.{os.getpid()}"
            part.write_bytes(_digest(body) + body)
            part.replace(self._folder / f"{name}{ENDING}")
            _forget(self._folder)


def _forget(folder: Path) -> None:
    files = [(file.stat().st_mtime, file) for file in folder.glob(f"*{ENDING}")]
    room = MOST_BYTES
    for number, (_, file) in enumerate(sorted(files, reverse=True)):
        room -= file.stat().st_size
        if number >= MOST_KEPT or room < 0:
            file.unlink()


def _contents(file: Path) -> bytes:
    try:
        return b"there" + file.read_bytes() if file.is_file() else b""
    except OSError:
        return b""


@cache
def _makers() -> bytes:
    """What makes pictures: our files as they lay on the disk when first asked, and libraries."""
    files = [
        (str(file.relative_to(OURS)), told.st_size, told.st_mtime_ns)
        for floor in FLOORS
        for file in sorted((OURS / floor).rglob("*"))
        if "__pycache__" not in file.parts and (told := file.stat())
    ]
    return repr((files, sys.version, [version(name) for name in LIBRARIES])).encode()


def _digest(some: bytes) -> bytes:
    return blake2b(some, digest_size=DIGEST_BYTES).digest()
