"""How plants are found on the ground: words known by hand from the tables that place them."""

import pytest

from scenes.document import Yard
from scenes.whereabouts import all_found_at, found_at

LOT = {"boundary": [[0, 0], [60, 0], [60, 60], [0, 60]]}
YEW = {"plant": "Taxus baccata", "size": "#3"}


def yard(unit: str = "ft", **tables) -> Yard:
    document = {"title": "t", "lengths": unit, "site": LOT,
                "ground": {"points": [[0, 0, 0], [60, 0, 0], [60, 60, 0]]},
                "bed": [{"name": "lane bed", "edge": [[1, 1], [9, 1], [9, 9]]}]}  # fmt: skip
    return Yard.model_validate(document | tables, context={"unit": unit, "survey_unit": unit})


@pytest.mark.parametrize(
    ("placed", "words"),
    [
        ({"at": [[4, 5.5]]}, "at (4.0, 5.5)"),
        ({"at": [[4, 5.5], [7, 5]]}, "at (4.0, 5.5) and (7.0, 5.0)"),
        ({"at": [[4, 5.5], [7, 5], [9, 5], [11, 5]]}, "at (4.0, 5.5) and 3 places more"),
        ({"along": [[1, 2], [5, 2], [5, 8]], "spacing": 2},
         "in the row from (1.0, 2.0)"),
        ({"fill": "lane bed", "spacing": 1}, "in lane bed"),
        ({"fill": "lane bed", "spacing": 1, "name": "the yews"}, '"the yews" in lane bed'),
    ],
)  # fmt: skip
@pytest.mark.parametrize("unit", ["ft", "m"])
def test_a_planting_is_found_by_name_bed_row_or_place(unit, placed, words):
    """Places are those of the document, whatever its unit."""
    assert found_at(yard(unit, planting=[YEW | placed]), "planting[1]") == words


def test_every_table_of_plants_has_its_words():
    oak = {"plant": "Quercus alba", "name": "old oak", "at": [20, 30], "height": 9, "spread": 8}
    told = all_found_at(yard(kept=[oak], planting=[YEW | {"at": [[2, 2]]}, YEW | {"at": [[3, 2]]}]))
    assert told == {
        "kept[1]": '"old oak" at (20.0, 30.0)',
        "planting[1]": "at (2.0, 2.0)",
        "planting[2]": "at (3.0, 2.0)",
    }
