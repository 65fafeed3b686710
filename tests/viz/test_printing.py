"""Printing as PDF where no browser is found, or one that prints nothing: no older file is lost."""

from pathlib import Path

import pytest

import scenes
from viz import printing
from viz.__main__ import main

SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"


@pytest.mark.parametrize("command", ["sheet", "report"])
def test_without_a_browser_it_is_said_at_once(tmp_path, monkeypatch, capsys, command):
    monkeypatch.setattr(printing, "BROWSERS", ("no-such-browser",))
    monkeypatch.setattr(scenes, "load", None)  # no work is begun
    assert main([command, str(SMALL), "--out", str(tmp_path / "paper.pdf")]) == 3
    said = capsys.readouterr().err
    assert "name the file .html" in said
    assert len(said.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_a_browser_that_prints_nothing_costs_no_older_file(tmp_path, monkeypatch, capsys):
    broken = tmp_path / "browser"
    broken.write_text("#!/bin/sh\necho out of memory >&2\nexit 1\n")
    broken.chmod(0o755)
    out = tmp_path / "sheet.pdf"
    out.write_bytes(b"older")
    monkeypatch.setattr(printing, "BROWSERS", (str(broken),))
    assert main(["sheet", str(SMALL), "--out", str(out)]) == 3
    assert "out of memory" in capsys.readouterr().err
    assert out.read_bytes() == b"older"
    assert sorted(tmp_path.iterdir()) == [broken, out]
