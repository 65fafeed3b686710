"""Reading: the small yard, its survey, 90-odd broken documents, and random damage."""

import os
import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scenes.errors import SceneError
from scenes.reading import load, read_survey
from scenes.terrain import grade

HERE = Path(__file__).parent
SMALL = HERE / "yards" / "small.toml"
BROKEN = sorted((HERE / "broken").glob("*.toml"))
EXPECT = "# expect: "
HEAD = 'title = "t"\nlengths = "m"\n[site]\nboundary = [[0, 0], [9, 0], [9, 9]]\n'


@pytest.fixture
def yard_of(tmp_path):
    """A yard whose survey holds the given text."""

    def make(survey, *, lengths="m", more="", name="s.csv"):
        (tmp_path / name).write_bytes(survey if isinstance(survey, bytes) else survey.encode())
        text = HEAD.replace('"m"', f'"{lengths}"') + f'{more}\n[ground]\nsurvey = "{name}"\n'
        (tmp_path / "yard.toml").write_text(text)
        return load(tmp_path / "yard.toml")

    return make


def test_small_yard_is_read_in_metres():
    yard = load(SMALL)
    assert yard.path == SMALL.resolve()
    assert yard.site.boundary == ((0, 0), (12, 0), (12, 10), (0, 10))
    assert yard.kept[0].trunk_diameter == pytest.approx(0.20)
    assert yard.bed[0].mulch == pytest.approx(0.075)
    assert [view.name for view in yard.view] == ["from the lane", "patio to the west"]
    assert len(yard.requirement) == 3


def test_small_survey_is_the_plane_it_was_made_from():
    points_m = read_survey(load(str(SMALL))).points_m
    assert points_m.shape == (30, 3)
    np.testing.assert_allclose(points_m[:, 2], 10 + 0.05 * points_m[:, 1], atol=1e-12)


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_broken_document_is_told_line_by_line(path):
    fragments = path.read_text().splitlines()[0].removeprefix(EXPECT).split(" | ")
    with pytest.raises(SceneError) as caught:
        grade(load(path))
    lines = str(caught.value).splitlines()
    for fragment in fragments:
        assert fragment in str(caught.value)
    assert all(line.startswith(f"{path.name}: ") for line in lines)
    assert all("; " in line for line in lines)
    assert len(lines) == (4 if path.stem == "several" else 1)


def test_each_broken_document_says_what_it_expects():
    assert len(BROKEN) >= 40
    assert all(path.read_text().startswith(EXPECT) for path in BROKEN)


def test_at_most_twenty_mistakes_are_listed(tmp_path):
    path = tmp_path / "many.toml"
    path.write_text(HEAD + "[ground]\npoints = [" + "[1, 2, nan], " * 25 + "]\n")
    with pytest.raises(SceneError) as caught:
        load(path)
    lines = str(caught.value).splitlines()
    assert len(lines) == 21
    assert lines[19].startswith("many.toml: ground.points[20][3]: nan is not a length")
    assert lines[20] == "many.toml: and 5 more"


def test_two_hundred_mistakes_are_counted_and_no_more(tmp_path):
    path = tmp_path / "many.toml"
    path.write_text(HEAD + "[ground]\npoints = [" + "[1, 2, nan], " * 250 + "]\n")
    with pytest.raises(SceneError, match=r"many\.toml: and 180 more or still others\Z"):
        load(path)


@pytest.mark.parametrize("depth", [50, 200, 300, 400, 450])
def test_deep_values_are_refused_in_short(tmp_path, depth):
    path = tmp_path / "deep.toml"
    path.write_text(f"title = {'[' * depth}{']' * depth}\n")
    with pytest.raises(SceneError, match=r"deep\.toml: .*(\[\[\[\[\[\.\.\.|nested too deeply)"):
        load(path)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b" \n\t\n", "is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "is not text"),
        (b'title = "a\0b"', "is not text"),
        ('title = "Gärten"'.encode("latin-1"), "is not text"),
        (b"a = " + b"[" * 5000 + b"]" * 5000, "nested too deeply"),
        (b"a = " + b"9" * 5000, "not TOML"),
    ],
    ids=["empty", "blank", "picture", "nul", "latin-1", "deep", "digits"],
)
def test_what_is_no_document_is_refused(tmp_path, data, words):
    path = tmp_path / "yard.toml"
    path.write_bytes(data)
    with pytest.raises(SceneError, match=rf"\Ayard\.toml: .*{words}.*; .*\Z"):
        load(path)


def test_fifty_megabytes_are_refused_unread(tmp_path):
    path = tmp_path / "yard.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(SceneError, match=r"yard\.toml: is larger than 2 MB; name a smaller file"):
        load(path)


def test_what_is_no_file_is_refused(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    for name, words in (("pipe.toml", "regular"), (".", "regular"), ("none.toml", "not there")):
        with pytest.raises(SceneError, match=words):
            load(tmp_path / name)


def test_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    text = HEAD + "[ground]\npoints = [[0, 0, 1], [9, 0, 1], [9, 9, 1]]\n"
    path = tmp_path / "yard.toml"
    path.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert load(path).title == "t"


def test_control_characters_of_a_document_do_not_reach_the_message(tmp_path):
    path = tmp_path / "yard.toml"
    path.write_text(HEAD.replace('"m"', '"\\u001b[31m\\nred"'))
    with pytest.raises(SceneError) as caught:
        load(path)
    lines = str(caught.value).splitlines()
    assert any(r"\x1b[31m\nred" in line for line in lines)
    assert all(line.isprintable() for line in lines)


def test_link_out_of_the_folder_is_refused(tmp_path):
    (tmp_path / "secret.csv").write_text("0,0,1\n9,0,1\n9,9,1\n")
    folder = tmp_path / "yard"
    folder.mkdir()
    (folder / "s.csv").symlink_to(tmp_path / "secret.csv")
    (folder / "yard.toml").write_text(HEAD + '[ground]\nsurvey = "s.csv"\n')
    with pytest.raises(SceneError, match=r'ground\.survey: "s\.csv" leads out of the document'):
        load(folder / "yard.toml")


def test_folder_and_large_file_are_no_survey(tmp_path):
    (tmp_path / "yard.toml").write_text(HEAD + '[ground]\nsurvey = "s.csv"\n')
    (tmp_path / "s.csv").mkdir()
    with pytest.raises(SceneError, match=r'"s\.csv" is not a regular file'):
        load(tmp_path / "yard.toml")
    (tmp_path / "s.csv").rmdir()
    with (tmp_path / "s.csv").open("wb") as file:
        file.truncate(20_000_001)
    with pytest.raises(SceneError, match=r'"s\.csv" is larger than 20 MB'):
        load(tmp_path / "yard.toml")


@pytest.mark.parametrize(
    "survey",
    [
        "0,0,1\n10,0,2\n10,10,3\n",
        "x,y,z\n0,0,1\n10,0,2\n10,10,3\n",
        "X, Y, Z, code\n0, 0, 1, gnd\n\n# a shot\n10, 0, 2, gnd\n10, 10, 3, top\n",
        "easting;northing;elevation\r\n0;0;1\r\n10;0;2\r\n10;10;3\r\n",
        "x\ty\tz\n0\t0\t1\n10\t0\t2\n10\t10\t3\n",
        '"x","y","z"\n"0","0","1"\n"10","0","2"\n"10","10","3"\n',
        "0,0,1\n10,0,2\n0,0,1\n10,10,3\n10,0,2\n",
        b"\xef\xbb\xbfx,y,z\n0,0,1\n10,0,2\n10,10,3",
    ],
)
def test_survey_is_read_as_surveyors_write_it(yard_of, survey):
    points_m = read_survey(yard_of(survey)).points_m
    np.testing.assert_array_equal(points_m, [[0, 0, 1], [10, 0, 2], [10, 10, 3]])


def test_survey_is_in_its_unit_less_the_origin(yard_of):
    yard = yard_of("1000,2000,90\n1010,2000,91\n1010,2010,92\n", lengths="ft",
                   more="origin = [1000, 2000, 90]")  # fmt: skip
    expected = np.array([[0, 0, 0], [10, 0, 1], [10, 10, 2]]) * 0.3048
    np.testing.assert_allclose(read_survey(yard).points_m, expected, atol=1e-9)


def test_points_in_the_document_are_read_as_a_survey_is(tmp_path):
    path = tmp_path / "yard.toml"
    points = "[[10, 0, 1], [20, 0, 1], [20, 10, 2], [10, 0, 1]]"
    path.write_text(HEAD + f"origin = [10, 0, 1]\n[ground]\npoints = {points}\n")
    np.testing.assert_allclose(
        read_survey(load(path)).points_m, [[0, 0, 0], [10, 0, 0], [10, 10, 1]]
    )


def test_binary_survey_is_refused(yard_of):
    with pytest.raises(SceneError, match=r'ground\.survey: "s\.csv" is not text'):
        read_survey(yard_of(b"0,0,1\n\0\xff"))


SPOTS = '[]{}",.=#-0123456789\n eENnaif\\\x00é∞'


def _refusal(path, text):
    """The lines of the refusal of a document, none where it is read; any other error is raised."""
    path.write_text(text)
    try:
        assert np.isfinite(read_survey(load(path)).points_m).all()
    except SceneError as error:
        return str(error).splitlines()
    return []


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("damage")
    shutil.copy(SMALL.with_name("small-survey.csv"), folder)
    return folder


@settings(max_examples=150, deadline=None, derandomize=True)
@given(data=st.data())
def test_damaged_text_is_read_or_refused(folder, data):
    text = SMALL.read_text()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text) - 1))
        cut = data.draw(st.integers(0, 12))
        text = text[:at] + data.draw(st.text(SPOTS, max_size=3)) + text[at + cut :]
    lines = _refusal(folder / "small.toml", text)
    assert all(line.startswith("small.toml: ") for line in lines)


ODD_VALUES = [
    "nan", "inf", "-1", "0", "1e-320", "1e300", "1e7", "9" * 30, '""', '"x"', '"3 ft"', '"-3 in"',
    "true", "[]", "[[]]", "[1]", "[[1, 2]]", "[[0, 0], [0, 0], [0, 0]]", "{}", "{ a = 1 }",
    "2027-03-15", "07:30:00", "[[1e8, 1e8], [-1e8, 1e8], [1e8, -1e8], [-1e8, -1e8]]",
]  # fmt: skip


@settings(max_examples=250, deadline=None, derandomize=True)
@given(data=st.data())
def test_odd_values_are_read_or_refused(folder, data):
    lines = SMALL.read_text().splitlines()
    keyed = [i for i, line in enumerate(lines) if " = " in line and not line.startswith("#")]
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.sampled_from(keyed))
        key = lines[at].partition(" = ")[0]
        lines[at] = f"{key} = {data.draw(st.sampled_from(ODD_VALUES))}"
    said = _refusal(folder / "small.toml", "\n".join(lines))
    assert all("; " in line or " more" in line for line in said)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(survey=st.text(st.sampled_from('0123456789.,;\t\n-+eEnaxyz"# _é'), max_size=60))
def test_any_survey_is_read_or_refused(folder, survey):
    (folder / "any.csv").write_text(survey)
    said = _refusal(folder / "any.toml", HEAD + '[ground]\nsurvey = "any.csv"\n')
    assert all(line.startswith("any.toml: ground.survey: ") for line in said)
