import pytest

from scenes.blocks import HEADER, REST, cut, entries, parted, span

TEXT = '''\ufeff# top
title = "a # [b]"

# a note that is nobody's

# about the site
[site] # here
points = [
  [1, 2], # ]
  [3, 4],
]
note = """
[[planting]]
"""" # closed by four
[[planting]]
plant = 'it"s'
  [planting.now]
  height = 1
[[ "planting" ]]
mix = { "a = b" = 1 }
last = 1'''


def test_blocks_are_the_text_again() -> None:
    blocks = cut(TEXT)
    assert "".join(block.text for block in blocks) == TEXT
    named = [(block.name, block.listed) for block in blocks]
    assert named == [
        ("", False), ("site", False), ("planting", True), ("planting.now", False),
        ("planting", True),
    ]  # fmt: skip


def test_comments_right_above_a_table_are_its_own() -> None:
    top, site, *_ = cut(TEXT)
    assert top.text.endswith("# a note that is nobody's\n\n")
    assert site.text.startswith("# about the site\n[site] # here\n")


def test_entries_hold_whole_values() -> None:
    found = entries(cut(TEXT)[1].text)
    assert [entry.key for entry in found] == [HEADER, "points", "note", REST]
    assert found[1].text == "points = [\n  [1, 2], # ]\n  [3, 4],\n]\n"
    assert entries(cut(TEXT)[4].text)[1].key == "mix"


def test_span_holds_the_tables_inside() -> None:
    blocks = cut(TEXT)
    assert span(blocks, "planting[1]") == slice(2, 4)
    assert span(blocks, "planting[2]") == slice(4, 5)
    assert span(blocks, "site") == slice(1, 2)


@pytest.mark.parametrize("place", ["planting", "site[1]", "bed[1]"])
def test_a_table_that_is_not_there(place: str) -> None:
    with pytest.raises(ValueError, match="no such table; write it under a line"):
        span(cut(TEXT), place)


@pytest.mark.parametrize("place", ["planting[0]", "planting[-1]", "a b", "", "planting[1].at"])
def test_a_place_that_is_none(place: str) -> None:
    with pytest.raises(ValueError, match="is not a table"):
        parted(place)


def test_a_number_beyond_the_last() -> None:
    with pytest.raises(ValueError, match="is not there; the document has 2 of them"):
        span(cut(TEXT), "planting[3]")
