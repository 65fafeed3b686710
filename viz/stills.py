"""Stills: one yard in a chosen year, from one of its views, in the sun of month and hour.

The meshes, sizes and views are those of the page; sizes are the expected ones. A still is set
up here as plain arrays; another process gives it light and draws it (viz/stilldraw.py).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from growth.errors import GrowthError
from growth.seasons import season_of_month
from growth.stand import Stand
from scenes.document import Site, Yard
from scenes.layout import Layout
from scenes.terrain import Terrain
from viz import tableaugrass, tableauground
from viz.palette import afternoon
from viz.person import figure, open_ground, standing
from viz.stage import Stage, compose, tops_m
from viz.stillsun import light_at
from viz.stillwords import Asked
from viz.tableau import Camera, Cards, Tableau
from viz.tableauplants import planted, scenery
from viz.views import Eye, eyes

SHAPE = 16 / 9
FAR_M = 1100.0


def chosen_view(views: Sequence[Eye], name: str) -> Eye:
    """The view of that name, whatever its capitals. Raises GrowthError, which lists them all."""
    for view in views:
        if view.name.casefold() == name.casefold():
            return view
    known = ", ".join(f'"{view.name}"' for view in views)
    raise GrowthError(f'--view "{name}": is no view of this yard; choose one of {known}')


def view_asked(yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, name: str) -> Eye:
    """The yard's view of that name. Raises GrowthError where it has none."""
    return chosen_view(views_of(yard, terrain, layout, stand), name)


def views_of(yard: Yard, terrain: Terrain, layout: Layout, stand: Stand) -> tuple[Eye, ...]:
    """All views of a yard, in the order of its page."""
    return eyes(terrain, layout, afternoon(yard.site.latitude_deg), tops_m=tops_m(stand))


def tableaux(
    yard: Yard, terrain: Terrain, layout: Layout, stand: Stand, view: Eye, asked: Asked
) -> Iterator[Tableau]:
    """The stills that are asked for, year by year; from one to the next only plants change."""
    assert asked.hour is not None
    light = light_at(yard.site, month=asked.month, hour=asked.hour)
    shown = peopled(terrain, layout, stand, view) if asked.person else layout
    stage = compose(yard, terrain, shown, stand, light=light, foot_shade=False)
    set_up: Tableau | None = None
    for year in asked.years:
        plants = planted(stage, yard.site, year=year, month=asked.month)
        if set_up is None:
            set_up = tableau(yard.site, terrain, layout, stage, view, plants, asked)
        yield replace(set_up, plants=plants)


def peopled(terrain: Terrain, layout: Layout, stand: Stand, view: Eye) -> Layout:
    """The layout with a person in it, for a view. Raises GrowthError where none has room there."""
    (feet,) = standing(open_ground(terrain, layout), terrain, layout, stand, [view])
    if feet is None:
        raise GrowthError(
            f'--person: no place that "{view.name}" shows is free for a person; '
            "choose another view, or leave it out"
        )
    return replace(layout, solids=(*layout.solids, figure(feet)))


def tableau(
    site: Site, terrain: Terrain, layout: Layout, stage: Stage, view: Eye, plants: Cards,
    asked: Asked,
) -> Tableau:  # fmt: skip
    """One still as arrays, its plants given."""
    season = season_of_month(
        asked.month, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
    ground = tableauground.ground(stage, bare=season == "bare")
    assert ground.picture is not None
    grass, grass_at = tableaugrass.tufts(terrain, layout, plants.atlas, eye_m=view.eye_m)
    return Tableau(
        camera=camera(view, width=asked.picture_width, middle_m=ground.points_m.mean(axis=0)),
        light=stage.light,
        sky=tableauground.sky(view.eye_m, stage.light),
        land=tableauground.land(stage, ground.picture, bare=season == "bare"),
        ground=ground,
        sheet=tableauground.sheet(terrain, stage.light, ground.picture),
        hard=tableauground.built(stage),
        plants=plants,
        scenery=scenery(stage, site, month=asked.month),
        grass=grass,
        grass_at=grass_at,
    )


def camera(view: Eye, *, width: int, middle_m: NDArray[np.floating]) -> Camera:
    """The camera of a view for a picture of 16 to 9, `width` pixels wide."""
    half = float(np.tan(np.radians(view.angle_deg / 2)))
    reach = float(np.linalg.norm(np.asarray(view.eye_m) - middle_m))
    return Camera(
        view.eye_m, view.focal_m, view.up, float(2 * np.degrees(np.arctan(half / SHAPE))),
        width, round(width / SHAPE), max(0.15, (reach - 60) * 0.5), reach + FAR_M,
    )  # fmt: skip
