"""The checking process: findings of a plain check, mistakes handed over, gone with its owner."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

import growth
import scenes
from viz.checker import checked, checking

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "scenes" / "yards" / "small.toml"


def test_it_finds_what_a_check_without_memory_finds_also_after_an_edit() -> None:
    yard = scenes.load(SMALL)
    edited = yard.model_copy(update={"planting": yard.planting[:1]})
    with checking() as checker:
        for document in (yard, edited, yard):
            checker.begin(document)
            told, plain = checker.findings(), checked(document, light=False)
            assert told.canopy.fraction.expected.tolist() == plain.canopy.fraction.expected.tolist()
            assert [cover.bed for cover in told.coverage] == [cover.bed for cover in plain.coverage]


def test_a_mistake_is_raised_here_and_an_answer_nobody_fetched_is_passed_over() -> None:
    yard = scenes.load(SMALL)
    (first, *others) = yard.planting
    wrong = first.model_copy(update={"plant": "Nonesuch arborea"})
    with checking() as checker:
        checker.begin(yard.model_copy(update={"planting": (wrong, *others)}))
        with pytest.raises(growth.GrowthError, match="Nonesuch arborea"):
            checker.findings()
        checker.begin(yard.model_copy(update={"planting": (wrong, *others)}))
        checker.begin(yard)
        assert checker.findings().title == yard.title


CHECKING = """
from multiprocessing import active_children
from viz.checker import checking
with checking():
    print(active_children()[0].pid, flush=True)
    input()
"""
POOL = """
import os
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from viz.checker import end_with_owner
pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=end_with_owner)
print(pool.submit(os.getpid).result(), flush=True)
input()
"""


@pytest.mark.parametrize("code", [CHECKING, POOL])
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
