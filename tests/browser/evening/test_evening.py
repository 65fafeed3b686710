"""An evening's work on the plan: two hundred edits of every kind, all undone, all made again.

What is to be done is drawn by a seeded generator from the yard as it then is, and done on the
page by mouse and keys. The same edits, written here as records, are made of the text alone by
`scenes.editing`; after every one the document on the disk is that text, to the byte, and the
page shows every plant where that text has it. Pixels are metres by the matrix of the sheet.
"""

import itertools

import numpy as np
import pytest

import scenes
from growth.plants import catalogue
from viz.race import sizes_offered

pytestmark = pytest.mark.browser

EDITS = 200
REFUSED_EVERY = 25
KINDS = ("Ilex glabra", "Hydrangea arborescens", "Carex morrowii", "Liriope muscari")


def of(plant) -> dict:
    return {"of": plant.place, "plants": [plant.number]}


def moved(e, plants: list, by_m: list[float]) -> dict:
    """The move of some plants, each of another table."""
    edits = [{"do": "move", **of(p), "by_m": by_m} for p in plants]
    return edits[0] if len(edits) == 1 else {"do": "together", "edits": edits}


def drag(e):
    plant, way = e.plant(planted=False, lone=True), e.way_px()
    return moved(e, [plant], e.way_m(way)), lambda: (e.close(), e.draw(e.pixel(plant.at), way))


def drag_several(e):
    plants, way = [e.plant(lone=True), e.plant(planted=False, lone=True)], e.way_px()
    if plants[0].place == plants[1].place:
        raise scenes.SceneError("both stand in one table")

    def act():
        e.close()
        for n, plant in enumerate(plants):
            e.press(e.pixel(plant.at), more=n > 0)
        e.draw(e.pixel(plants[0].at), way)

    return moved(e, plants, e.way_m(way)), act


def nudge(e, keys=("ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"), far=""):
    plant, n = e.plant(planted=False), int(e.random.integers(4))
    by_m = [[0, 1], [0, -1], [-1, 0], [1, 0]][n]
    step = [axis * (1 if far else 0.1) for axis in by_m]
    return moved(e, [plant], step), lambda: (e.choose([plant]), e.sheet.press(far + keys[n]))


def nudge_far(e):
    return nudge(e, far="Shift+")


def nudge_by_pad(e):
    plant = e.plant()
    word, by_m = e.one([("North", [0, 0.1]), ("West", [-0.1, 0]), ("East", [0.1, 0])])
    return moved(e, [plant], by_m), lambda: (e.choose([plant]), e.button(f"{word} by 0.1 m"))


def nudge_table(e):
    """A row as a whole stays a row; of a fill every plant is named."""
    table = e.table(lambda each: each.along or (each.at and len(each.at) > 1))
    edit = {"do": "move", "of": table[0].place, "by_m": [0.1, 0]}
    return edit, lambda: (e.choose(table), e.sheet.press("ArrowRight"))


def move_there(e):
    plant, east = e.plant(), e.metres(0.5, 11.5)
    north = e.metres(0.5, 9.5)

    def act():
        e.choose([plant])
        e.write("hand", east=east, north=north)
        e.button("Move there")

    return moved(e, [plant], [east - plant.at[0], north - plant.at[1]]), act


def delete(e):
    plant = e.plant()
    return {"do": "remove", **of(plant)}, lambda: (e.choose([plant]), e.sheet.press("Delete"))


def delete_table(e):
    """One of many plants, so that the yard stays small."""
    places = [p.place for p in e.plants]
    table = max((e.table() for _ in range(5)), key=lambda table: places.count(table[0].place))
    edit = {"do": "remove", "of": table[0].place}
    edit |= {"plants": [0]} if len(table) == 1 else {}
    return edit, lambda: (e.choose(table), e.button("Remove"))


def found(e) -> tuple[str, str]:
    name = e.one(KINDS)
    return name, e.one(sizes_offered(catalogue()[name]))


def armed(e, name: str, size: str) -> None:
    e.close()
    e.open("Add a plant")
    e.find("add", name, size)


def add_by_press(e):
    (name, size), spot = found(e), e.spot_px()
    edit = {"do": "plant", "plant": name, "size": size, "at_m": [e.at_pixel(spot)]}
    return edit, lambda: (armed(e, name, size), e.press(spot))


def add_written(e):
    (name, size), at = found(e), [e.metres(0.3, 11.7), e.metres(0.3, 9.7)]

    def act():
        armed(e, name, size)
        e.write("set", east=at[0], north=at[1])
        e.button("Plant it there")

    return {"do": "plant", "plant": name, "size": size, "at_m": [at]}, act


def fill(e):
    (name, size), bed = found(e), e.one(e.yard.bed).name
    spacing, off = e.metres(0.9, 1.6), e.metres(0.05, 0.2)

    def act():
        armed(e, name, size)
        e.page.get_by_label("Fill a bed").check()
        e.page.locator("#fill-bed").select_option(bed)
        e.write("fill", spacing_m=spacing, keep_off_m=off)
        e.button("Fill the bed")

    edit = {"do": "plant", "plant": name, "size": size, "fill": bed}
    return {**edit, "spacing_m": spacing, "keep_off_m": off}, act


def swapped(e, plants: list, name: str, size: str, kind: str = ""):
    def act():
        e.close()
        e.choose(plants, kind=kind)
        e.open("Swap plant or size")
        e.find("swap", name, size)

    return act


def swap(e):
    """Where it is of that kind already, only its size is another one."""
    plant, (name, size) = e.plant(), found(e)
    edit = {"do": "swap", **of(plant), "size": size}
    return edit | ({"plant": name} if name != plant.kind else {}), swapped(e, [plant], name, size)


def swap_in_mix(e):
    table, (name, size) = e.table(lambda each: each.mix), found(e)
    kind = e.one(table).kind
    edit = {"do": "swap", "of": table[0].place, "plant": name, "instead_of": kind}
    return edit, swapped(e, table, name, size, kind)


def line_m(e) -> list[list[float]]:
    return [[e.metres(1, 11), e.metres(1, 9)] for _ in range(2)]


def lined(e, plant, words: str, line, *, by_press: bool = False):
    """Done along a line that is written, or pressed on the plan."""

    def act():
        e.close()
        e.choose([plant])
        e.open("Copy, mirror")
        if by_press:
            for at in line:
                e.press(at)
        else:
            (x0, y0), (x1, y1) = line
            e.write("line", x0=x0, y0=y0, x1=x1, y1=y1)
        e.write("line", spacing=1.5)
        e.button(words)

    return act


def copy_along(e):
    plant, line = e.plant(), line_m(e)
    edit = {"do": "copy_along", "of": plant.place, "plant": plant.number}
    edit |= {"line_m": line, "spacing_m": 1.5}
    return edit, lined(e, plant, "Copy in a row", line)


def copy_along_pressed(e):
    plant, line = e.plant(), [e.spot_px(), e.spot_px()]
    line_m = [[float(f"{each:.2f}") for each in e.at_pixel(at)] for at in line]
    edit = {"do": "copy_along", "of": plant.place, "plant": plant.number}
    edit |= {"line_m": line_m, "spacing_m": 1.5}
    return edit, lined(e, plant, "Copy in a row", line, by_press=True)


def mirror(e, *, copies: bool = True):
    plant, line = e.plant(), line_m(e)
    edit = {"do": "mirror", **of(plant), "line_m": line, "copies": copies}
    return edit, lined(e, plant, "Mirror copies" if copies else "Mirror, moved", line)


def mirror_moved(e):
    return mirror(e, copies=False)


def clip(e):
    plant, high, wide = e.plant(), e.metres(0.4, 2), e.metres(0.4, 2)

    def act():
        e.close()
        e.choose([plant])
        e.open("Clip")
        e.write("clip", height_m=high, spread_m=wide)
        e.button("Keep clipped")

    return {"do": "clip", **of(plant), "height_m": high, "spread_m": wide}, act


def let_grow(e):
    table = e.table(lambda each: each.kept_at)
    edit = {"do": "clip", "of": table[0].place} | ({"plants": [0]} if len(table) == 1 else {})

    def act():
        e.close()
        e.choose(table)
        e.open("Clip")
        e.button("Let it grow")

    return edit, act


def point_of(e) -> tuple[int, int, tuple[float, float], tuple[float, float]]:
    """A bed and a point of its edge, with the next one."""
    bed = int(e.random.integers(len(e.yard.bed)))
    edge = e.yard.bed[bed].edge
    point = int(e.random.integers(len(edge)))
    return bed, point, edge[point], edge[(point + 1) % len(edge)]


def drag_point(e):
    (bed, point, at, _), way = point_of(e), e.way_px()
    e.must_be_apart(at, e.yard.bed[bed].edge)
    edit = {"do": "move_points", "of": f"bed[{bed + 1}]", "points": [point]}

    def act():
        e.close()
        e.take(f"bed {bed}", point)
        e.draw(e.pixel(at), way)

    return {**edit, "by_m": e.way_m(way)}, act


def drag_middle(e):
    (bed, point, at, to), way = point_of(e), e.way_px()
    middle = np.add(at, to) / 2
    edge = np.array(e.yard.bed[bed].edge)
    e.must_be_apart(middle, [*(edge + np.roll(edge, -1, axis=0)) / 2, *edge])
    edit = {"do": "add_point", "of": f"bed[{bed + 1}]", "after": point}

    def act():
        e.close()
        e.take(f"bed {bed}")
        e.draw(e.pixel(middle), way)

    return {**edit, "at_m": np.add(middle, e.way_m(way)).tolist()}, act


def nudge_point(e):
    bed, point, *_ = point_of(e)
    edit = {"do": "move_points", "of": f"bed[{bed + 1}]", "points": [point], "by_m": [0, 0.1]}
    return edit, lambda: (e.take(f"bed {bed}", point), e.sheet.press("ArrowUp"))


def delete_point(e):
    bed, point, *_ = point_of(e)
    edit = {"do": "remove_point", "of": f"bed[{bed + 1}]", "point": point}
    return edit, lambda: (e.take(f"bed {bed}", point), e.sheet.press("Delete"))


def head_of(e):
    n = e.one(range(len(e.yard.head)))
    return n, f"head[{n + 1}]", e.yard.head[n]


def drag_head(e):
    (_, of, head), way = head_of(e), e.way_px()
    e.must_be_apart(head.at, e.things)
    edit = {"do": "move", "of": of, "by_m": e.way_m(way)}
    return edit, lambda: (e.close(), e.draw(e.pixel(head.at), way))


def nudge_head(e):
    n, of, _ = head_of(e)
    edit = {"do": "move", "of": of, "by_m": [1, 0]}
    return edit, lambda: (e.take(f"head {n}"), e.sheet.press("Shift+ArrowRight"))


def spray(e):
    n, of, _ = head_of(e)
    throw, riser, to = e.metres(1.5, 4), e.metres(0.1, 0.9), int(e.random.integers(10, 350))

    def act():
        e.take(f"head {n}")
        e.write("spray", **{"throw_m": throw, "riser_m": riser, "from": 5, "to": to})
        e.button("Change the spray")

    edit = {"do": "spray", "of": of, "throw_m": throw, "riser_m": riser}
    return {**edit, "arc_deg": [5, to]}, act


def remove_thing(e):
    """A head, a bed or a view whole, where nothing needs it and another is left."""
    kind = e.one(["head", "bed", "view"])
    things = getattr(e.yard, kind)
    if len(things) < 2:
        raise scenes.SceneError("the last one stays")
    n = e.one(range(len(things)))
    edit = {"do": "remove", "of": f"{kind}[{n + 1}]"}
    return edit, lambda: (e.take(f"{kind} {n}"), e.button("Remove"))


def eye_of(e):
    n = e.one(range(len(e.yard.view)))
    return n, f"view[{n + 1}]", e.yard.view[n].eye


def drag_eye(e):
    (_, of, at), way = eye_of(e), e.way_px()
    e.must_be_apart(at, e.things)
    edit = {"do": "look", "of": of, "eye_m": np.add(at, e.way_m(way)).tolist()}
    return edit, lambda: (e.close(), e.draw(e.pixel(at), way))


def nudge_eye(e):
    n, of, at = eye_of(e)
    edit = {"do": "look", "of": of, "eye_m": [at[0], at[1] + 0.1]}
    return edit, lambda: (e.take(f"view {n}"), e.sheet.press("ArrowUp"))


def eye_height(e):
    (n, of, _), high = eye_of(e), e.metres(1, 2)

    def act():
        e.take(f"view {n}")
        e.write("eye", eye_height_m=high)
        e.button("Change the height")

    return {"do": "look", "of": of, "eye_height_m": high}, act


DEEDS = (
    drag, nudge, swap_in_mix, add_by_press, drag_point, swap, copy_along, drag_head, delete_table,
    nudge_far, mirror, clip, drag_eye, drag_several, fill, nudge_point, delete, mirror_moved,
    spray, nudge_table, add_written, drag_middle, let_grow, copy_along_pressed, nudge_eye,
    delete_table, move_there, delete_point, nudge_head, nudge_by_pad, eye_height, drag,
)  # fmt: skip
"""What is done, in turn."""

LAST = (remove_thing,) * 2
"""What can be done but a few times."""


@pytest.mark.timeout(1200)
def test_an_evenings_work_is_undone_and_made_again_to_the_byte(evening):
    first = evening.path.read_bytes()
    turns = itertools.cycle(DEEDS)
    while len(evening.texts) <= EDITS - len(LAST):
        evening.work(next(turns))
        if len(evening.texts) % REFUSED_EVERY == 0:
            evening.refused()
    for deed in LAST:
        evening.work(deed)
    assert len(evening.texts) == EDITS + 1
    assert set(evening.count) == {*DEEDS, *LAST}

    evening.steps("Undo", "Control+z", evening.texts[-2::-1])
    assert evening.path.read_bytes() == first
    evening.steps("Redo", "Control+Shift+Z", evening.texts[1:])
    assert evening.plan.visited.complaints == []
