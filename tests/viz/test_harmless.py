"""Cells that a spreadsheet would run, and those it would not."""

import pytest

from viz.harmless import harmless


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\ta", "\ra"])
def test_what_a_spreadsheet_would_run_stands_behind_an_apostrophe(text):
    assert harmless(text) == "'" + text
    assert harmless("a" + text) == "a" + text
