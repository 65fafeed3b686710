"""What is typed wrongly is said in one line, with the command that tells more."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from viz.__main__ import main

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ([], "required: COMMAND"),
        (["prune"], "'prune'"),
        (["check"], "required: YARD"),
        (["grow", "Acer rubrum", "--zone", "40"], "40 is not a hardiness zone from 1 to 13"),
        (["grow", "Acer rubrum", "--until", "0"], "0 is not a year from 1 to 30"),
        (["show", "--port", "70000"], "70000 is not a port"),
        (["ground", "yard.toml", "--rain", "2"], "2 is not a rain"),
        (["pack", "yard.toml", "--out", "yard.pdf"], "yard.pdf is not a page"),
    ],
)
def test_a_wrong_argument_is_one_line(capsys, typed: list[str], said: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(typed)
    assert ended.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    assert line.startswith("yardyears")
    assert said in line
    assert line.endswith("--help")


@pytest.mark.parametrize(("chosen", "threads"), [({}, "1"), ({"OPENBLAS_NUM_THREADS": "4"}, "4")])
def test_blas_is_given_one_thread_before_numpy_is_loaded(
    chosen: dict[str, str], threads: str
) -> None:
    code = "import sys, os, viz; print('numpy' in sys.modules, os.environ['OPENBLAS_NUM_THREADS'])"
    others = {name: value for name, value in os.environ.items() if "OPENBLAS" not in name}
    said = subprocess.run(
        [sys.executable, "-c", code], env={**others, **chosen}, cwd=ROOT, capture_output=True,
        text=True, check=True,
    )  # fmt: skip
    assert said.stdout.split() == ["False", threads]
