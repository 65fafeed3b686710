"""What plants can be used for in a yard, by stated rules on their figures.

A use follows from kind, form, size and density alone. Whether a plant takes clipping, salt
or a street's soil is not in the catalogue and is left out. The limits are common practice.
"""

from growth.plants import Plant

CONIFERS = frozenset((
    "Abies", "Calocedrus", "Cedrus", "Chamaecyparis", "Cryptomeria", "Cupressus", "Juniperus",
    "Larix", "Metasequoia", "Picea", "Pinus", "Platycladus", "Podocarpus", "Pseudotsuga",
    "Sequoia", "Sequoiadendron", "Taxodium", "Taxus", "Thuja", "Tsuga",
))  # fmt: skip

CLIPPED_TREES = frozenset((
    "Acer campestre", "Carpinus betulus", "Crataegus monogyna", "Fagus sylvatica",
    "Ilex aquifolium", "Prunus cerasifera", "Quercus ilex", "Taxus baccata",
))  # fmt: skip
"""Trees that are also clipped as hedges from the ground up. Common practice."""

NARROW = ("pyramidal", "columnar", "upright")

SCREEN_HEIGHT_M = 1.83
"""A screen hides people who stand: six feet or more when mature."""

SCREEN_SEEN, HEDGE_SEEN = 0.25, 0.14
"""Most that a screen lets through in winter, and a hedge in leaf."""

HEDGE_HEIGHT_M, GROUNDCOVER_HEIGHT_M = 0.6, 0.6

SHADE_TREE_M = 9.0
"""Height and spread from which a deciduous tree is called a shade tree: thirty feet."""


def uses(plant: Plant) -> tuple[str, ...]:
    """Uses that the plant's figures allow: screen, hedge, groundcover, shade tree, conifer."""
    rules = {
        "screen": _is_screen,
        "hedge": _is_hedge,
        "groundcover": _is_groundcover,
        "shade tree": _is_shade_tree,
        "conifer": _is_conifer,
    }
    return tuple(use for use, holds in rules.items() if holds(plant))


def _is_screen(plant: Plant) -> bool:
    """Tall, leafy from the ground up, and dense in winter too."""
    tall = _mean(plant.height_m) >= SCREEN_HEIGHT_M and plant.form != "rosette"
    return tall and _reaches_down(plant) and plant.see_through_bare <= SCREEN_SEEN


def _is_hedge(plant: Plant) -> bool:
    """Woody, dense in leaf, leafy from the ground up, not a mat or a rosette."""
    if plant.name in CLIPPED_TREES:
        return True
    tall = _mean(plant.height_m) >= HEDGE_HEIGHT_M
    shaped = plant.form not in ("rosette", "mat", "sheet", "palm")
    return tall and shaped and _reaches_down(plant) and plant.see_through_leaf <= HEDGE_SEEN


def _is_groundcover(plant: Plant) -> bool:
    """Low, and a groundcover by kind, or a mat or sheet by form."""
    if plant.kind == "vine" or plant.height_m[1] > GROUNDCOVER_HEIGHT_M:
        return plant.kind == "groundcover"
    return plant.kind == "groundcover" or plant.form in ("mat", "sheet")


def _is_shade_tree(plant: Plant) -> bool:
    large = min(_mean(plant.height_m), _mean(plant.spread_m)) >= SHADE_TREE_M
    return plant.kind == "tree" and plant.leaf != "evergreen" and large


def _is_conifer(plant: Plant) -> bool:
    return plant.name.split()[0] in CONIFERS


def _reaches_down(plant: Plant) -> bool:
    """Whether a woody plant keeps its leaves down to the ground."""
    if plant.kind == "tree":
        return plant.form in NARROW
    return plant.kind in ("shrub", "bamboo")


def _mean(pair: tuple[float, float]) -> float:
    return sum(pair) / 2
