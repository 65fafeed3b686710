"""The command that serves the pages, from its first line to its end."""

import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import urlopen

import pytest

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"
SHOW = ("-u", "-m", "viz", "show", "--port", "0", "--no-browser", SMALL)


@pytest.mark.parametrize("told", [signal.SIGINT, signal.SIGTERM])
def test_told_to_end_it_ends_with_all_that_it_began(told: signal.Signals) -> None:
    with subprocess.Popen(
        [sys.executable, *SHOW], cwd=ROOT, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout
        address = re.search(r"http://\S+/", process.stdout.readline())
        assert address
        urlopen(f"{address[0]}stills/0").close()  # begins one process more
        begun = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        assert len(begun) > 1
        process.send_signal(told)
        said, complained = process.communicate(timeout=30)
        assert (process.returncode, said, complained) == (0, "", "")
    until = time.monotonic() + 10
    while any(_runs(int(number)) for number in begun):
        assert time.monotonic() < until, "a process it began runs on"
        time.sleep(0.05)


def _runs(number: int) -> bool:
    """Whether a process does anything yet; who waits for one that has ended is not our doing."""
    try:
        said = Path(f"/proc/{number}/stat").read_text()
    except FileNotFoundError:
        return False
    return said.rpartition(")")[2].split()[0] != "Z"
