"""The process that draws stills, seen from the command: started, asked, and mourned.

It starts at once and opens its graphics library while the yard grows. Where that library is
missing, VTK ends the process it runs in; the command lives on, and its error names the Debian
package that brings the library.
"""

import ctypes
import os
import pickle
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from viz.errors import ShowError
from viz.tableau import Tableau

Pixels = NDArray[np.uint8]
DRAWING = (sys.executable, "-P", "-m", "viz.stilldraw")
HERE = str(Path(__file__).parents[1])
LIBRARIES = (("libEGL.so.1", "libegl1"), ("libGL.so.1", "libgl1"))
"""What drawing off screen loads, and the Debian package that brings it."""

DRIVERS = "libgl1-mesa-dri"


@contextmanager
def drawing() -> Iterator[Callable[[Tableau], Pixels]]:
    """Starts the drawing process at once; gives what makes pictures (rows, columns, 3) of tableaux.

    Making one raises ShowError where no graphics library can be used.
    """
    with tempfile.TemporaryFile() as told:
        process = subprocess.Popen(
            DRAWING, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=told, env=_surroundings()
        )
        assert process.stdin is not None
        assert process.stdout is not None
        source, sink = process.stdout, process.stdin
        try:
            yield lambda asked: _drawn(asked, process, source, sink, told)
        finally:
            process.kill()
            process.communicate()


def _surroundings() -> dict[str, str]:
    """The drawing process finds this very program first, wherever the command was started."""
    paths = [HERE, os.environ.get("PYTHONPATH", "")]
    return {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in paths if path)}


def _drawn(
    asked: Tableau, process: subprocess.Popen[bytes], source: IO[bytes], sink: IO[bytes], told: Any
) -> Pixels:
    try:
        pickle.dump(asked, sink, protocol=5)
        sink.flush()
        picture: Pixels = pickle.load(source)
    except (BrokenPipeError, EOFError):
        raise ShowError(_why_not(process.wait(), told)) from None
    return picture


def _why_not(code: int, told: Any) -> str:
    """One line: why the drawing process ended, and the package that mends it."""
    told.seek(0)
    lines = told.read().decode(errors="replace").split("\n")
    said = next((line.strip() for line in reversed(lines) if line.strip()), "")
    if code > 0 and "Error" in said and ".so" not in said:
        return f"still: drawing failed ({said}); try a smaller --width"
    return (
        f"still: no graphics library can be used to draw (drawing ended with {code}); "
        f"apt install {missing_package()}"
    )


def missing_package() -> str:
    """The Debian package of the first graphics library that cannot be loaded here."""
    for library, package in LIBRARIES:
        try:
            ctypes.CDLL(library)
        except OSError:
            return package
    return DRIVERS
