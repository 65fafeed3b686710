"""The conditions sheet: one file without script, its text escaped, its options read."""

import re
from datetime import date
from pathlib import Path

import scenes
from viz.__main__ import main
from viz.paper import mark, paper
from viz.sheet import sheet_words

SMALL = Path(scenes.__file__).parents[1] / "tests" / "scenes" / "yards" / "small.toml"


def test_it_says_of_whom_of_when_and_of_which_document(small):
    words = sheet_words(small, by="R. Example", day=date(2026, 11, 26))
    told = dict(words["facts"])
    assert (told["Made by"], told["Date"]) == ("R. Example", "26 November 2026")
    assert told["Lot"] == "120.0 m²"
    assert "small.toml" in told["Document"]
    assert len(words["cases"]) == 3


def test_a_bed_of_three_by_two_metres(small):
    """60 % of 6 m2 are 3.6 m2."""
    case = sheet_words(small, by=None, day=date(2026, 11, 26))["cases"][1]
    assert case["sums"][0].replace("\u00a0", " ") == "asked: at least 60.0 % of 6.0 m² = 3.6 m²"
    assert case["when"] == "Year 5: after 5 growing seasons, autumn 2031"


def test_text_is_escaped_and_nothing_runs(small):
    hostile = '<script>alert(1)</script>"'
    text = paper("sheet.html", sheet_words(small, by=hostile, day=date(2026, 11, 26)))
    assert hostile not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
    assert not re.search(r"<script|<link[^>]+http|src=|\son\w+=|@import|url\(", text)


def test_the_mark_changes_with_the_document(tmp_path):
    """SHA-256 of "abc", FIPS 180-4: ba7816bf 8f01cfea ..."""
    (tmp_path / "a").write_bytes(b"abc")
    assert mark(tmp_path / "a") == "SHA-256 ba7816bf8f01"


def test_the_command_writes_it(tmp_path, capsys):
    out = tmp_path / "sheet.html"
    assert main(["sheet", str(SMALL), "--out", str(out), "--by", "A & B"]) == 0
    assert "A &amp; B" in out.read_text(encoding="utf-8")
    assert str(out) in capsys.readouterr().out
