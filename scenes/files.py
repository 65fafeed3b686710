"""Files a document may name: regular ones inside its own folder, of listed types, capped.

The size is looked at before a byte is read, and links are followed before the folder is
compared, so a link cannot lead out. What a file holds is read elsewhere.
"""

import stat
from pathlib import Path, PureWindowsPath

DOCUMENT_BYTES = 2_000_000
SURVEY_BYTES = 20_000_000
PICTURE_BYTES = 20_000_000
MODEL_BYTES = 50_000_000
MODEL_TYPES = (".obj", ".glb")


def read_capped(path: Path, *, most_bytes: int) -> bytes:
    """The bytes of a regular file; ValueError "wrong; remedy" when it cannot or may not be."""
    check_regular(path, most_bytes=most_bytes)
    try:
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise ValueError(f"cannot be read ({error.strerror}); make the file readable") from None
    if len(data) > most_bytes:
        raise ValueError(_too_large(most_bytes))
    return data


def text_of(data: bytes) -> str:
    """Bytes as text, in UTF-8 with or without its mark; ValueError if they are not."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        raise ValueError("is not text; save it as UTF-8 text")
    return text


def check_regular(path: Path, *, most_bytes: int) -> None:
    """ValueError "wrong; remedy" unless the path is a regular file within the cap."""
    try:
        facts = path.stat()
    except FileNotFoundError:
        raise ValueError("is not there; name a file that is") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no such name"
        raise ValueError(f"cannot be read ({reason}); name a readable file") from None
    if not stat.S_ISREG(facts.st_mode):
        raise ValueError("is not a regular file; name a file")
    if facts.st_size > most_bytes:
        raise ValueError(_too_large(most_bytes))


def file_inside(folder: Path, name: str, *, types: tuple[str, ...], most_bytes: int) -> Path:
    """The path of a file a document names; ValueError "wrong; remedy" if it may not be used."""
    windows = PureWindowsPath(name)
    if windows.drive or windows.root or ".." in windows.parts:
        raise ValueError("leads out of the document's folder; put the file beside the document")
    path = folder / name
    if path.suffix.lower() not in types:
        raise ValueError(f"is of an unknown type; known are {' '.join(types)}")
    check_regular(path, most_bytes=most_bytes)
    if not path.resolve().is_relative_to(folder.resolve()):
        raise ValueError("leads out of the document's folder; put the file itself there")
    return path


def _too_large(most_bytes: int) -> str:
    return f"is larger than {most_bytes / 1e6:g} MB; name a smaller file"
