import re
import tomllib

import pytest

from scenes.merging import merged

BEFORE = """title = "t"
lengths = "m"

[site]
boundary = [[0, 0], [9, 0], [9, 9]]
soil = "loam"

# two shrubs
[[planting]]
plant = "A"
size = "#5"
at = [[1, 1], [2, 2]]

[[planting]]
plant = "B"
at = [[3, 3]]

[[structure]]
name = "house"
floor = 1
  [[structure.opening]]
  name = "door"
  low = 0

[[view]]
name = "v"
target = "door"
"""
C = '[[planting]]\nplant = "C"\nat = [[4, 4]]\n\n'
D = '[[planting]]\nplant = "D"\nat = [[5, 5]]\n\n'


def _with(*changes: tuple[str, str]) -> str:
    text = BEFORE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_changes_of_different_tables_are_both_taken() -> None:
    mine = _with(("[[1, 1], [2, 2]]", "[[1, 1], [2, 7]]"))
    theirs = _with(('soil = "loam"', 'soil = "clay"  # dug'), ("low = 0", "low = 0.5"))
    both = _with(
        ("[[1, 1], [2, 2]]", "[[1, 1], [2, 7]]"),
        ('soil = "loam"', 'soil = "clay"  # dug'),
        ("low = 0", "low = 0.5"),
    )
    assert merged(BEFORE, mine, theirs) == merged(BEFORE, theirs, mine)
    assert merged(BEFORE, mine, theirs).text == both
    assert merged(BEFORE, mine, theirs).clashes == ()


def test_changes_of_different_keys_of_one_table_are_both_taken() -> None:
    mine, theirs = _with(("[[1, 1], [2, 2]]", "[[1, 8]]")), _with(('"#5"', '"#7"'))
    found = merged(BEFORE, mine, theirs)
    assert found.text == _with(("[[1, 1], [2, 2]]", "[[1, 8]]"), ('"#5"', '"#7"'))
    assert found.clashes == ()


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_every_pair_of_keys_of_one_table_is_taken_to_the_byte(ends) -> None:
    """Each key changed by me, any other changed, taken out or followed by a new one by them."""
    table = ['plant = "A"  # first\n', 'size = "#5"\n', "# two\nat = [[1, 1],\n      [2, 2]]\n"]
    new = ['plant = "Z"  # first\n', 'size = "#9"\n', "# two\nat = [[1, 1],\n      [2, 8]]\n"]

    def document(lines: list[str]) -> str:
        text = '[[planting]]\nplant = "Y"\n\n[[planting]]\n' + "".join(lines) + "\n[[view]]\n"
        return text.replace("\n", ends)

    for mine in range(3):
        for theirs in {0, 1, 2} - {mine}:
            for change in (new[theirs], "", table[theirs] + "spacing = 2\n"):
                own = [new[n] if n == mine else line for n, line in enumerate(table)]
                other = [change if n == theirs else line for n, line in enumerate(table)]
                both = [change if n == theirs else line for n, line in enumerate(own)]
                found = merged(document(table), document(own), document(other))
                assert (found.text, found.clashes) == (document(both), ())


def test_a_comment_beside_a_value_that_changed_is_kept() -> None:
    mine = _with(("[[1, 1], [2, 2]]", "[[1, 1], [2, 7]]"))
    noted = ("at = [[1, 1], [2, 2]]", "# by the door\nat = [[1, 1], [2, 2]]  # 80 cm apart")
    both = ("at = [[1, 1], [2, 2]]", "# by the door\nat = [[1, 1], [2, 7]]  # 80 cm apart")
    for one, other in ((mine, _with(noted)), (_with(noted), mine)):
        assert merged(BEFORE, one, other).text == _with(both)
        assert merged(BEFORE, one, other).clashes == ()


def test_two_comments_in_one_place_are_asked_about() -> None:
    mine = _with(("at = [[3, 3]]", "at = [[3, 8]]  # mine"))
    theirs = _with(("at = [[3, 3]]", "at = [[3, 3]]  # theirs"))
    found = merged(BEFORE, mine, theirs)
    assert found.clashes == ("at of planting[2] was changed by you and in the document",)
    assert found.text == mine


def test_a_sign_of_comments_inside_a_value_is_no_comment() -> None:
    mine = _with(('size = "#5"', 'size = "#7"'))
    theirs = _with(('size = "#5"', 'size = "#9"'))
    assert merged(BEFORE, mine, theirs).clashes
    noted = _with(('size = "#5"', 'size = "#5"  # pot'))
    assert merged(BEFORE, mine, noted).text == _with(('size = "#5"', 'size = "#7"  # pot'))


def test_a_table_put_before_mine_does_not_take_my_change() -> None:
    """Numbers of tables shift; the change stays with the table that was meant."""
    mine = _with(("[[3, 3]]", "[[3, 8]]"))
    theirs = _with(("# two shrubs\n", C + "# two shrubs\n"))
    plantings = tomllib.loads(merged(BEFORE, mine, theirs).text)["planting"]
    assert [(one["plant"], one["at"][0]) for one in plantings] == [
        ("C", [4, 4]), ("A", [1, 1]), ("B", [3, 8]),
    ]  # fmt: skip


def test_tables_added_by_both_are_all_there_theirs_first() -> None:
    mine = _with(("[[structure]]", C + "[[structure]]"))
    theirs = _with(("[[structure]]", D + "[[structure]]"))
    assert merged(BEFORE, mine, theirs).text == _with(("[[structure]]", D + C + "[[structure]]"))


def test_tables_added_by_both_at_the_end_stay_apart() -> None:
    mine, theirs = BEFORE + "\n" + C.rstrip("\n"), BEFORE + "\n" + D
    found = tomllib.loads(merged(BEFORE, mine, theirs).text)["planting"]
    assert [one["plant"] for one in found] == ["A", "B", "D", "C"]


def test_the_same_change_on_both_sides_counts_once() -> None:
    mine = _with(("[[3, 3]]", "[[3, 8]]"), ("[[structure]]", C + "[[structure]]"))
    theirs = mine.replace("loam", "clay")
    assert merged(BEFORE, mine, theirs).text == theirs
    assert merged(BEFORE, mine, theirs).clashes == ()


def test_one_side_alone_is_taken_to_the_byte() -> None:
    other = BEFORE.replace("\n", "\r\n")
    assert merged(BEFORE, other, BEFORE).text == other
    assert merged(BEFORE, BEFORE, other).text == other


@pytest.mark.parametrize(
    ("mine", "theirs", "clash"),
    [
        (("[[3, 3]]", "[[3, 8]]"), ("[[3, 3]]", "[[7, 3]]"), r"at of planting\[2\] was changed"),
        (('"loam"', '"clay"'), ('"loam"', '"sand"'), "soil of site was changed by you and in"),
        (('"t"', '"u"'), ('"t"', '"w"'), "title of the top of the document"),
        (
            ('[[planting]]\nplant = "B"\nat = [[3, 3]]\n\n', ""), ("[[3, 3]]", "[[7, 3]]"),
            r"planting\[2\] was taken out by you and changed in the document",
        ),
        (
            ("[[3, 3]]", "[[7, 3]]"), ('[[planting]]\nplant = "B"\nat = [[3, 3]]\n\n', ""),
            r"planting\[2\] was changed by you and taken out in the document",
        ),
        (('"#5"\n', '"#5"\nname = "x"\n'), ('"#5"\n', '"#5"\nname = "y"\n'),
         r"name of planting\[1\] was added by you and in the document"),
        (("  low = 0\n", "  low = 0\n  [[structure.opening]]\n  name = \"w\"\n"),
         (BEFORE[BEFORE.index("[[structure]]"):BEFORE.index("[[view]]")], ""),
         r"structure\[1\] was taken out while something was put into it"),
    ],
)  # fmt: skip
def test_clashes_are_named_and_mine_is_in_the_text(mine, theirs, clash) -> None:
    found = merged(BEFORE, _with(mine), _with(theirs))
    assert any(re.search(clash, said) for said in found.clashes)
    if mine[1] and "taken out while" not in clash:
        assert mine[1] in found.text


def test_empty_lines_alone_never_clash() -> None:
    mine, theirs = BEFORE + "\n" + C, BEFORE + "\n\n\n" + D
    found = merged(BEFORE, mine, theirs)
    assert found.clashes == ()
    plantings = tomllib.loads(found.text)["planting"]
    assert [one["plant"] for one in plantings] == ["A", "B", "D", "C"]
