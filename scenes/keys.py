"""Which keys a table takes by its kind: grading operations, structures, surfaces, plantings.

The document model knows every key a table may hold; which of them a pad or a fence needs is
declared here, a row for each. A key that is needed and not there, and one that the kind does
not take, is each a mistake of its own.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from scenes.document import Grading, Kept, Planting, Structure, Surface, Yard
from scenes.errors import Mistake
from scenes.tables import Table

MOST_OPERATIONS = 200
ALWAYS = frozenset({"name", "do", "kind", "existing"})


@dataclass(frozen=True)
class Keys:
    """Keys a kind needs, keys of which exactly one is needed, and keys it may have besides."""

    needs: tuple[str, ...] = ()
    one_of: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


OPERATIONS = {
    "pad": Keys(needs=("outline", "level"), may=("fall_percent", "fall_towards_deg", "batter")),
    "ribbon": Keys(
        needs=("centreline", "width"),
        may=("levels", "crossfall_percent", "crown_percent", "batter"),
    ),
    "mound": Keys(needs=("outline", "height")),
    "swale": Keys(needs=("centreline", "width", "depth"), may=("fall_percent", "batter")),
    "wall": Keys(needs=("line",), one_of=("top", "height"), may=("footing", "retains", "batter")),
    "steps": Keys(needs=("centreline", "width", "risers"), may=("levels", "batter")),
    "ramp": Keys(needs=("centreline", "width"), may=("levels", "batter")),
    "levels": Keys(needs=("points",), may=("influence",)),
}

_BUILDING = Keys(needs=("outline", "floor", "eave", "ridge"), may=("roof", "opening"))
_FLAT_ROOFED = Keys(needs=("outline", "floor", "eave"), may=("roof", "opening", "ridge"))

STRUCTURES = {
    "house": _BUILDING,
    "garage": _BUILDING,
    "shed": _BUILDING,
    "wall": Keys(needs=("line", "height"), may=("thickness",)),
    "fence": Keys(needs=("line", "height"), may=("thickness", "open")),
    "box": Keys(needs=("outline", "height"), may=("floor",)),
    "line": Keys(needs=("line", "height")),
    "meter": Keys(needs=("at", "clear"), may=("height",)),
    "model": Keys(needs=("file", "at"), may=("turn_deg", "floor", "height")),
}


def keys_of_gradings(yard: Yard) -> Iterator[Mistake]:
    """Keys that a grading operation lacks or does not take."""
    for number, operation in enumerate(yard.grading, 1):
        place = f"grading[{number}]"
        yield from _by_kind(operation, place, f'do = "{operation.do}"', OPERATIONS[operation.do])
        falls = {"fall_percent", "fall_towards_deg"} & operation.model_fields_set
        if operation.do == "pad" and len(falls) == 1:
            other = {"fall_percent": "fall_towards_deg", "fall_towards_deg": "fall_percent"}
            (key,) = falls
            yield Mistake(place, f"{key} without {other[key]}", f"write both, or leave out {key}")
        if None not in (operation.crossfall_percent, operation.crown_percent):
            yield Mistake(place, "crossfall_percent and crown_percent", "write one of them")
        yield from _sizes_of(operation, place)


def _sizes_of(operation: Grading, place: str) -> Iterator[Mistake]:
    """Sizes of an operation that leave nothing to build, or too much."""
    for key in ("height", "depth"):
        size_m = getattr(operation, key)
        if size_m is not None and size_m <= 0:
            yield Mistake(f"{place}.{key}", f"{key} is not above zero", "write what it measures")
    if operation.do == "swale" and (operation.fall_percent or 0.0) < 0:
        yield Mistake(f"{place}.fall_percent", "the swale rises", "write its line downhill")
    if operation.do in ("steps", "ramp") and len(operation.levels or (0, 0)) != 2:
        wrong = f"{len(operation.levels or ())} levels"
        yield Mistake(f"{place}.levels", wrong, "write those of both ends, or none")
    spots = {spot[:2] for spot in operation.points or ()}
    if len(spots) < len(operation.points or ()):
        yield Mistake(f"{place}.points", "one place has two levels", "keep the right one")


def operations_counted(yard: Yard) -> Iterator[Mistake]:
    """More operations than a yard needs, or than can be graded while one waits."""
    if len(yard.grading) > MOST_OPERATIONS:
        wrong = f"{len(yard.grading):,} operations"
        yield Mistake("grading", wrong, f"write {MOST_OPERATIONS} at the most")


def keys_of_structures(yard: Yard) -> Iterator[Mistake]:
    """Keys that a structure lacks or does not take, by its kind and roof."""
    for number, structure in enumerate(yard.structure, 1):
        place, kind = f"structure[{number}]", f'kind = "{structure.kind}"'
        yield from _by_kind(structure, place, kind, _structure_keys(structure))
        eave, ridge = structure.eave, structure.ridge
        if eave is not None and ridge is not None and ridge < eave:
            yield Mistake(f"{place}.ridge", "the ridge is below the eave", "write the eave or more")


def keys_of_surfaces(yard: Yard) -> Iterator[Mistake]:
    """Surfaces that are not exactly one of an outline and a centreline with its width."""
    for number, surface in enumerate(yard.surface, 1):
        place = f"surface[{number}]"
        kind = Keys(one_of=("outline", "centreline"), may=("width", "levels"))
        yield from _by_kind(surface, place, "a surface", kind)
        if surface.centreline is not None and surface.width is None:
            yield Mistake(place, "a centreline without a width", "add width = ...")
        if surface.outline is not None and surface.width is not None:
            yield Mistake(f"{place}.width", "an outline takes no width", "remove it")


def counts_of_levels(yard: Yard) -> Iterator[Mistake]:
    """Levels that are neither one for each point nor the few that stand for all."""
    levelled: list[tuple[str, Grading | Surface]] = []
    levelled += [(f"grading[{number}]", item) for number, item in enumerate(yard.grading, 1)]
    levelled += [(f"surface[{number}]", item) for number, item in enumerate(yard.surface, 1)]
    for place, item in levelled:
        points = item.centreline or item.outline
        if item.levels is None or points is None:
            continue
        fewest = 2 if item.centreline else 1
        if len(item.levels) not in (fewest, len(points)):
            wrong = f"{len(item.levels)} levels for {len(points)} points"
            remedy = f"write {fewest} or {len(points)} levels"
            yield Mistake(f"{place}.levels", wrong, remedy)


def keys_of_plants(yard: Yard) -> Iterator[Mistake]:
    """Plantings and kept plants whose places, spacing, plants or sizes do not go together."""
    for number, planting in enumerate(yard.planting, 1):
        place = f"planting[{number}]"
        yield from _places(planting, place)
        yield from _one_of(planting, place, ("plant", "mix"))
        yield from _one_of(planting, place, ("size", "now"))
        if planting.mix is not None and abs(sum(planting.mix.values()) - 1) > 0.01:
            total = f"the shares add up to {sum(planting.mix.values()):.3g}"
            yield Mistake(f"{place}.mix", total, "make them add up to 1")
        if planting.fill is None and "keep_off" in planting.model_fields_set:
            yield Mistake(f"{place}.keep_off", "only a fill keeps off the edge", "remove it")
    for number, kept in enumerate(yard.kept, 1):
        yield from _places(kept, f"kept[{number}]")
        if kept.trunk_diameter is not None and kept.trunk_diameters is not None:
            wrong = "trunk_diameter and trunk_diameters are both written"
            yield Mistake(f"kept[{number}]", wrong, "write one of them")


def _places(plants: Planting | Kept, place: str) -> Iterator[Mistake]:
    several = list(_one_of(plants, place, ("at", "along", "fill")))
    if several:
        yield from several
        return
    if plants.spacing is None and (plants.along or plants.fill):
        word = "along" if plants.along else "fill"
        yield Mistake(place, f"{word} without a spacing", "add spacing = ...")
    for key in ("spacing", "pattern"):
        if plants.at is not None and key in plants.model_fields_set:
            yield Mistake(f"{place}.{key}", f"plants at points take no {key}", "remove it")
    if plants.along is not None and "pattern" in plants.model_fields_set:
        yield Mistake(f"{place}.pattern", "plants along a line take no pattern", "remove it")


def _structure_keys(structure: Structure) -> Keys:
    flat = STRUCTURES[structure.kind] is _BUILDING and structure.roof == "flat"
    return _FLAT_ROOFED if flat else STRUCTURES[structure.kind]


def _by_kind(table: Table, place: str, kind: str, keys: Keys) -> Iterator[Mistake]:
    written = {key for key in table.model_fields_set if getattr(table, key) is not None}
    taken = ALWAYS.union(keys.needs, keys.one_of, keys.may)
    for key in keys.needs:
        if key not in written:
            yield Mistake(place, f"{kind} needs {key}", f"add {key} = ...")
    if keys.one_of:
        yield from _one_of(table, place, keys.one_of)
    for key in type(table).model_fields:
        if key in written - taken:
            known = ", ".join((*keys.needs, *keys.one_of, *keys.may))
            yield Mistake(f"{place}.{key}", f"{kind} takes no {key}", f"it takes {known}")


def _one_of(table: Table, place: str, keys: tuple[str, ...]) -> Iterator[Mistake]:
    written = [key for key in keys if getattr(table, key) is not None]
    choices = f"{', '.join(keys[:-1])} or {keys[-1]}"
    if not written:
        yield Mistake(place, f"none of {', '.join(keys)} is written", f"write one: {choices}")
    elif len(written) > 1:
        yield Mistake(place, f"{' and '.join(written)} are both written", f"write one: {choices}")
