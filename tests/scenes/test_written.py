import pytest

from scenes.written import length_told, length_written, list_written, point_written, unit_written


@pytest.mark.parametrize(
    ("metres", "unit", "like", "written"),
    [
        (0.4572, "ft", "18 in", "18 in"),
        (0.46, "ft", "18in", "18in"),
        (2.4, "ft", " 2.30  m ", " 2.4  m "),
        (3.048, "ft", 9, 10),
        (3.048, "ft", 9.5, 10.0),
        (1.234, "m", None, 1.23),
        (-0.001, "m", 5, 0),
        (12.3, "mm", 500, 12300),
    ],
)
def test_lengths_keep_unit_and_style(metres, unit, like, written) -> None:
    new = length_written(metres, unit=unit, like=like)
    assert new == written
    assert type(new) is type(written)


def test_inches_or_millimetres_where_a_unit_must_be_written() -> None:
    assert unit_written(0.3048, unit="ft") == "12 in"
    assert unit_written(0.3, unit="m") == "300 mm"


def test_points_keep_the_style_of_each_number() -> None:
    assert point_written((0.508, 3.048), unit="ft", like=["18 in", 9]) == ["20 in", 10]


def test_a_length_in_words_is_rounded_as_it_is_written() -> None:
    assert length_told(0.3, unit="ft") == "1 ft"
    assert length_told(0.4, unit="m") == "0.4 m"


def test_long_lists_run_over_several_lines() -> None:
    assert list_written([[1, 2], ["18 in", 4.5]]).as_string() == '[[1, 2], ["18 in", 4.5]]'
    lines = list_written([[10.25, 20.25]] * 20).as_string().splitlines()
    assert lines[0] == "["
    assert lines[-1] == "]"
    assert all(len(line) <= 96 for line in lines)
    assert sum(line.count("10.25") for line in lines) == 20
