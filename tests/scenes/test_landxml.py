"""LandXML surfaces written by hand, read beside a plain walk by lxml, and files that are none."""

import numpy as np
import pytest
from lxml import etree
from scipy.spatial import Delaunay

from scenes.errors import SceneError
from scenes.reading import load, read_survey
from scenes.terrain import grade

HEAD = (
    '<?xml version="1.0"?><LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" '
    'version="1.2"><Units><Metric linearUnit="meter" areaUnit="squareMeter" '
    'volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="HPA"/></Units><Surfaces>'
)
# A valley along x = 6: Delaunay's triangles might cut across it, the file's do not.
POINTS = {"1": (0, 0, 14), "2": (0, 6, 10), "3": (0, 12, 14), "4": (10, 0, 14), "5": (10, 6, 10),
          "6": (10, 12, 14)}  # fmt: skip
FACES = ["1 2 5", "1 5 4", "2 3 6", "2 6 5"]


def _surface(name="EG", points=POINTS, faces=FACES):
    pnts = "".join(f'<P id="{i}">{" ".join(map(str, p))}</P>' for i, p in points.items())
    rows = "".join(face if face.startswith("<") else f"<F>{face}</F>" for face in faces)
    return (
        f'<Surface name="{name}"><SourceData><DataPoints/></SourceData><Definition surfType="TIN">'
        f"<Pnts>{pnts}</Pnts><Faces>{rows}</Faces></Definition></Surface>"
    )


def _file(*surfaces, head=HEAD):
    return f"{head}{''.join(surfaces or [_surface()])}</Surfaces></LandXML>"


@pytest.fixture
def yard_of(tmp_path):
    def make(text, *, ground="", site="", lengths="m"):
        (tmp_path / "s.xml").write_bytes(text if isinstance(text, bytes) else text.encode())
        (tmp_path / "yard.toml").write_text(
            f'title = "t"\nlengths = "{lengths}"\n[site]\n'
            f"boundary = [[0, 0], [12, 0], [12, 10], [0, 10]]\n{site}\n"
            f'[ground]\nsurvey = "s.xml"\ncell = "0.5 m"\n{ground}\n'
        )
        return load(tmp_path / "yard.toml")

    return make


def test_a_valley_keeps_its_faces(yard_of):
    terrain = grade(yard_of(_file()))
    x, y = np.moveaxis(terrain.lattice.nodes_m(), -1, 0)
    inside = (x >= 0) & (x <= 12) & (y >= 0) & (y <= 10)
    np.testing.assert_array_equal(terrain.extrapolated, ~inside)
    valley = 10 + np.abs(np.clip(x, 0, 12) - 6) * 2 / 3
    np.testing.assert_allclose(terrain.before_m, valley, atol=1e-9)
    assert terrain.notes == ()


def test_a_file_is_read_as_a_plain_walk_reads_it(yard_of):
    rng = np.random.default_rng(5)
    points = {str(100 - i): tuple(p) for i, p in enumerate(rng.uniform(1, 9, (20, 3)).round(4))}
    ids = list(points)
    net = Delaunay(np.array(list(points.values()))[:, :2])
    faces = [" ".join(ids[k] for k in face) for face in net.simplices]
    text = _file(_surface(points=points, faces=faces))
    namespace = {"x": "http://www.landxml.org/schema/LandXML-1.2"}
    walked = {
        point.get("id"): [float(value) for value in point.text.split()]
        for point in etree.fromstring(text.encode()).iterfind(".//x:P", namespace)
    }
    survey = read_survey(yard_of(text))
    peer = [[east, north, level] for north, east, level in walked.values()]
    np.testing.assert_allclose(survey.points_m, peer)
    assert [[ids[k] for k in face] for face in survey.faces] == [face.split() for face in faces]


def test_holes_and_invisible_faces_are_no_ground(yard_of):
    faces = [*FACES[:2], '<F i="1">2 3 6</F>', FACES[3]]
    terrain = grade(yard_of(_file(_surface(faces=faces))))
    assert "25 % of the lot lies beyond the survey" in terrain.notes[0]
    assert terrain.height_m(np.array([[11.0, 2.0]]))[0] < 14


def test_four_sided_faces_are_two_triangles(yard_of):
    quads = _file(_surface(faces=["1 2 5 4", "2 3 6 5"]))
    assert read_survey(yard_of(quads)).faces.tolist() == [
        [0, 1, 4],
        [0, 4, 3],
        [1, 2, 5],
        [1, 5, 4],
    ]


@pytest.mark.parametrize(("imperial", "metres"), [("foot", 0.3048), ("USSurveyFoot", 1200 / 3937)])
def test_the_unit_is_the_file_s_own(yard_of, imperial, metres):
    feet = HEAD.replace("Metric", "Imperial").replace("meter", imperial, 1)
    survey = read_survey(yard_of(_file(head=feet)))
    np.testing.assert_allclose(np.ptp(survey.points_m, axis=0), np.multiply([12, 10, 4], metres))


def test_one_of_several_surfaces_is_chosen(yard_of):
    raised = {i: (n, e, z + 5) for i, (n, e, z) in POINTS.items()}
    both = _file(_surface(), _surface("FG", raised))
    survey = read_survey(yard_of(both, ground='surface = "FG"'))
    assert survey.points_m[:, 2].min() == 15


BOMB = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]>'
HOSTILE = {
    "entity bomb": (_file().replace("?>", "?>" + BOMB), "", "declares a DTD; remove the DOCTYPE"),
    "outside entity": (
        _file().replace("?>", '?><!DOCTYPE x SYSTEM "file:///etc/passwd">'), "", "declares a DTD"),
    "not closed": (_file()[:-10], "", "is not XML"),
    "binary": (b"\x00\xff\x12<", "", "is not XML"),
    "other encoding": (_file().replace('"1.0"', '"1.0" encoding="x-none"'), "", "encoding"),
    "other XML": ("<gpx/>", "", 'holds "gpx"; name a LandXML file'),
    "no unit": (_file(head=HEAD.replace('linearUnit="meter"', "")), "", "write one, like meter"),
    "odd unit": (_file(head=HEAD.replace('"meter"', '"furlong"')), "", '"furlong"'),
    "no surface": (HEAD + "</Surfaces></LandXML>", "", "holds no Surface"),
    "two surfaces": (_file(_surface(), _surface("FG")), "", 'holds the surfaces "EG", "FG"'),
    "not that surface": (_file(), 'surface = "FG"', 'holds no surface "FG"'),
    "no faces": (_file(_surface(faces=[])), "", "the surface has no faces"),
    "no such point": (_file(_surface(faces=["1 2 77"])), "", 'face 1: there is no point "77"'),
    "two corners": (_file(_surface(faces=["1 2"])), "", "face 1: has 2 points"),
    "nan": (_file(_surface(points=POINTS | {"2": (0, 6, "nan")})), "", "point 2: .* is not north"),
    "two values": (_file(_surface(points=POINTS | {"2": (0, 6)})), "", 'point 2: "0 6" is not'),
    "one id twice": (_file().replace('id="2"', 'id="1"'), "", "two points have one id"),
    "faces on faces": (_file(_surface(faces=[*FACES, "1 3 5"])), "", "triangles lie over each oth"),
    "flat face": (_file(_surface(faces=["1 2 3"])), "", "triangles have no area"),
    "unit against the document": (_file(), 'survey_lengths = "ft"', 'survey_lengths = "m"'),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_told_in_one_line(yard_of, name):
    text, ground, words = HOSTILE[name]
    with pytest.raises(SceneError, match=words) as caught:
        read_survey(yard_of(text, ground=ground))
    assert all(line.startswith("yard.toml: ground.") for line in str(caught.value).splitlines())
