"""A program that edits is killed at random moments: what it said was done is there."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
YARDS = Path(__file__).parent / "yards"
WRITER = Path(__file__).parent / "killed_writer.py"


def _killed(folder: Path, *, kills: int, most_bytes: int) -> dict[str, int]:
    for name in ("small.toml", "small-survey.csv"):
        shutil.copy(YARDS / name, folder)
    seen = subprocess.run(
        [sys.executable, WRITER, folder / "small.toml", str(kills), str(most_bytes)],
        capture_output=True, text=True, timeout=280, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert seen.returncode == 0, seen.stderr
    found: dict[str, int] = json.loads(seen.stdout)
    return found


def test_two_hundred_kills_lose_nothing(tmp_path: Path) -> None:
    """The writer itself asserts what is there after each kill; here, that kills met their mark."""
    seen = _killed(tmp_path, kills=200, most_bytes=4_000_000)
    assert seen["kills"] == 200
    assert seen["said"] > 50
    assert seen["unsaid"] > 0, "no kill came between a step's record and its word"
    assert seen["torn"] > 0, "no kill came amid a record"
    assert seen["back"] == 1, "undoing all did not give the first bytes back"
    assert seen["left"] == 0


def test_kills_while_the_history_is_shortened(tmp_path: Path) -> None:
    seen = _killed(tmp_path, kills=40, most_bytes=6_000)
    assert seen["said"] > 5
    assert seen["bytes"] <= 6_000
    assert seen["left"] == 0
