"""Processes that others were begun by: gone with their owner, however that ended."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

MAKING = """
from multiprocessing import active_children
from pathlib import Path
from viz.maker import making
with making(Path("tests/scenes/yards/small.toml")):
    print(active_children()[0].pid, flush=True)
    input()
"""
POOL = """
import os
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from viz.owner import end_with_owner
pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=end_with_owner)
print(pool.submit(os.getpid).result(), flush=True)
input()
"""


@pytest.mark.parametrize("code", [MAKING, POOL])
def test_a_process_ends_when_its_owner_is_killed(code: str) -> None:
    owner = subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        text=True,
    )  # fmt: skip
    assert owner.stdin is not None
    assert owner.stdout is not None
    process = int(owner.stdout.readline())
    assert runs(process)
    owner.kill()
    owner.wait(timeout=10)
    owner.stdin.close()
    owner.stdout.close()
    until = time.monotonic() + 10
    while runs(process) and time.monotonic() < until:
        time.sleep(0.05)
    assert not runs(process)


def runs(process: int) -> bool:
    try:
        facts = Path(f"/proc/{process}/stat").read_text(encoding="utf-8")
    except FileNotFoundError:
        return False
    return facts.rpartition(")")[2].split()[0] != "Z"  # ended, and not yet buried
