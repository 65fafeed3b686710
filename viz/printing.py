"""Papers as PDF: printed by the browser that is there, from the very file it would open.

A browser is asked without a window and with a profile of its own that is thrown away; the
paper holds no script and asks nothing of any network.
"""

import os
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

from viz.errors import ShowError

BROWSERS = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
    "microsoft-edge", "msedge", "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)  # fmt: skip
"""Programs that print a page when told to on their command line."""

MOST_S = 120


def browser() -> str:
    """The program that prints. Raises ShowError where none is found."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        raise ShowError(
            "no Chromium, Chrome or Edge was found to print with; name the file .html, "
            "and print it from any browser"
        )
    return found


def printed(page: str, into: Path) -> None:
    """Print a page's text as PDF into a file.

    Raises ShowError where no browser is found or it does not print.
    """
    printer = browser()
    with TemporaryDirectory() as folder:
        source, pdf = Path(folder, "paper.html"), Path(folder, "paper.pdf")
        source.write_text(page, encoding="utf-8")
        said = _asked([printer, *_options(folder, pdf), source.as_uri()])
        if not pdf.exists():
            raise ShowError(f"{printer} printed nothing ({said}); name the file .html instead")
        shutil.copyfile(pdf, into)


def _options(folder: str, pdf: Path) -> list[str]:
    options = [
        "--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer",
        f"--user-data-dir={Path(folder, 'profile')}", f"--print-to-pdf={pdf}",
    ]  # fmt: skip
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return [*options, "--no-sandbox"] if root else options  # for root it starts no other way


def _asked(command: list[str]) -> str:
    """Run a browser; the last it said."""
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, errors="replace", timeout=MOST_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        return str(error).splitlines()[0]
    return (done.stderr.strip().splitlines() or [f"exit code {done.returncode}"])[-1]
