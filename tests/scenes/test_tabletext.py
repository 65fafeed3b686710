import tomllib

import pytest

from scenes.tabletext import new_table, table_text, with_more, with_tables

TEXT = """[site]
a = 1
# the first
[[planting]]   # x
  # its name
  plant = "A"   # name
  along = [[1, 2], [3,   4]] # c
  spacing = "18 in"

[[planting]]
plant = "B"
at = [
  [1, 2],   # one
  ["18 in", 4.50],
]
kept_at.height = 4
  [planting.now]
  height=2
[[head]]
x=1"""


def test_a_value_is_set_in_its_place_and_its_comment_stays() -> None:
    new = table_text(TEXT, "planting[1]").with_value("plant", 'it\'s "C"')
    assert new.text == table_text(TEXT, "planting[1]").text.replace('"A"', '"it\'s \\"C\\""')


def test_a_value_takes_the_place_of_another_key() -> None:
    new = table_text(TEXT, "planting[1]").with_value("at", [[1, 2]], instead_of="along")
    assert "  at = [[1, 2]] # c\n" in new.text
    assert "along" not in new.text


def test_a_list_changed_in_place_keeps_its_layout() -> None:
    def change(at):
        at[1][1] = 5
        at[0][0] = 9

    new = table_text(TEXT, "planting[2]").changed("at", change)
    assert 'at = [\n  [9, 2],   # one\n  ["18 in", 5],\n]\n' in new.text


def test_a_key_goes_however_it_is_written() -> None:
    table = table_text(TEXT, "planting[2]")
    assert table.has("kept_at")
    assert table.has("now")
    left = table.without("kept_at", "now")
    assert not left.has("kept_at")
    assert (
        left.text == '[[planting]]\nplant = "B"\nat = [\n  [1, 2],   # one\n  ["18 in", 4.50],\n]\n'
    )


def test_a_new_key_is_the_last_and_a_table_in_braces() -> None:
    new = table_text(TEXT, "planting[2]").without("now").with_value("kept_at", {"height": 3})
    assert new.text.endswith("]\nkept_at = { height = 3 }\n")
    assert table_text(TEXT, "head[1]").with_value("y", 2).text == "[[head]]\nx=1\ny = 2\n"


def test_tables_are_put_in_and_taken_out() -> None:
    more = with_more(TEXT, new_table(TEXT, "planting", {"plant": "Z"}))
    assert more.replace('\n[[planting]]\nplant = "Z"\n\n', "") == TEXT
    assert [one["plant"] for one in tomllib.loads(more)["planting"]] == ["A", "B", "Z"]
    less = with_tables(TEXT, "planting[1]", [])
    assert less == TEXT[:13] + TEXT[TEXT.index('[[planting]]\nplant = "B"') :]


def test_a_table_more_where_there_was_none() -> None:
    assert with_more("a=1", new_table("", "planting", {"b": 2})) == "a=1\n\n[[planting]]\nb = 2\n"


def test_line_ends_are_those_of_the_document() -> None:
    text = TEXT.replace("\n", "\r\n")
    table = table_text(text, "planting[1]")
    table = table.with_value("plant", "Q").with_value("size", "#5").without("spacing")
    changed = table.changed("along", lambda points: points.append([5, 6]))
    new = with_tables(text, "planting[1]", [changed, changed.bare_header()])
    new = with_more(new, new_table(new, "planting", {"plant": "Z"}))
    assert new.count("\n") == new.count("\r\n")


@pytest.mark.parametrize("place", ["planting", "kept[1]"])
def test_a_table_that_is_not_there(place: str) -> None:
    with pytest.raises(ValueError, match="no such table"):
        table_text(TEXT, place)
