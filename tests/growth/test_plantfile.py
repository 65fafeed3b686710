from pathlib import Path

import pytest

import scenes
from growth.errors import GrowthError
from growth.plantfile import plants_in_file
from scenes.errors import SceneError

LIBRARY = Path(scenes.__file__).parent / "library"

HOLLY = """
lengths = "ft"
[[plant]]
name = "Ilex 'Local'"
kind = "tree"
form = "pyramidal"
leaf = "evergreen"
height = [20, 30]
spread = [10, 15]
growth_per_year = "14 in"
"""


def file_of(folder, text):
    path = folder / "list.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_plants_are_read_in_the_files_unit(tmp_path):
    """20 ft is 6.096 m and 14 in 0.3556 m."""
    plant = plants_in_file(file_of(tmp_path, HOLLY))["Ilex 'Local'"]
    assert plant.height_m == pytest.approx((6.096, 9.144))
    assert plant.growth_m_per_year == pytest.approx(0.3556)


@pytest.mark.parametrize("path", sorted(LIBRARY.glob("*.toml")), ids=lambda path: path.stem)
def test_a_whole_yard_gives_its_own_plants(path):
    assert set(plants_in_file(path)) == {facts.name for facts in scenes.load(path).plant}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("lengths = ", r"^list\.toml: not TOML: "),
        ('lengths = "ft"\n', r"^list\.toml: .*plant"),
        (HOLLY.replace('"ft"', '"feet"'), r"^list\.toml: lengths: "),
        (HOLLY.replace("form", "shape"), r'^list\.toml: plant\[1\]: unknown key "shape"'),
        (HOLLY.replace("14 in", "0 in"), r"^list\.toml: plant\[1\]\.growth_per_year: .*above zero"),
        (HOLLY.replace("pyramidal", "round"), r'^list\.toml: plant\[1\]\.form: "round" is unknown'),
        (
            HOLLY.replace("[20, 30]", "[30, 20]"),
            r"^list\.toml: plant\[1\]\.height: .*low one first",
        ),
    ],
)
def test_a_wrong_file_is_named_with_its_remedy(tmp_path, text, message):
    with pytest.raises((SceneError, GrowthError), match=message):
        plants_in_file(file_of(tmp_path, text))


def test_a_file_that_is_not_there_is_said(tmp_path):
    with pytest.raises(GrowthError, match=r"^nowhere\.toml: is not there; name a file that is"):
        plants_in_file(tmp_path / "nowhere.toml")
