"""Whatever a document says: it is laid out with finite numbers, or it is told what is wrong."""

import re
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

import scenes
from scenes.errors import SceneError

YARDS = Path(__file__).parents[1] / "scenes" / "yards"
TEXT = (YARDS / "small.toml").read_text()
NUMBERS = list(re.finditer(r'(?<![\w#."-])-?\d+\.?\d*(?![\w"-])', TEXT))
CHANGES = st.dictionaries(
    st.integers(0, len(NUMBERS) - 1),
    st.sampled_from(["0", "-1", "0.5", "1", "2.5", "7", "10.0", "11.9", "30"]),
    min_size=1,
    max_size=3,
)


def _changed(changes: dict[int, str]) -> str:
    text = TEXT
    for number in sorted(changes, reverse=True):
        start, end = NUMBERS[number].span()
        text = text[:start] + changes[number] + text[end:]
    return text


@settings(max_examples=60, deadline=None, derandomize=True)
@given(CHANGES)
def test_a_changed_number_is_laid_out_or_told(changes: dict[int, str]) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "changed.toml"
        path.write_text(_changed(changes))
        shutil.copy(YARDS / "small-survey.csv", folder)
        try:
            yard = scenes.load(path)
            terrain = scenes.grade(yard)
            layout = scenes.lay_out(yard, terrain)
        except SceneError:
            return
    assert np.isfinite(terrain.after_m).all()
    assert np.isfinite(layout.xyz_m).all()
    assert all(np.isfinite(p.points_m).all() for s in layout.solids for p in s.parts)
    assert all(np.isfinite(look.panel_m).all() for look in layout.looks)
