"""The drawing of stills by PyVista, off screen, in a process of its own.

`python -m viz.stilldraw` opens the graphics library and then answers every `Tableau` on its
input with a picture on its output. On a machine without a graphics
library that is where a crash happens, and the command that started it lives on to say so.
Nothing is shaded by the graphics card: colours are worked out here from depth maps and drawn
as they are, so a card, a chip and plain software give the same picture.
"""

import os
import pickle
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, BinaryIO

import numpy as np
import pyvista as pv
from numpy.typing import NDArray
from PIL import Image
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

from viz.atlas import ACROSS, CELL_PIXELS, CUT
from viz.palette import Light
from viz.shadows import DepthMap, Lens, lens_over
from viz.tableau import Camera, Cards, Sheet, Surface, Tableau
from viz.tableaulight import lit

MAP_PIXELS, ABOVE_PIXELS = 1536, 768
ABOVE = (0.0, 0.0, 1.0)
MOST_FINE_PIXELS = 34_000_000
"""Pictures are drawn twice as fine, or as fine as this many pixels allow, and then averaged."""

CUT_OUT = f"""//VTK::TCoord::Impl
  vec2 texel = fwidth(tcoordVCVSOutput) * {CELL_PIXELS * ACROSS:.1f};
  float level = max(0.0, log2(max(texel.x, texel.y)));
  if (gl_FragData[0].a * (1.0 + 0.30 * level) < {CUT}) discard;
  gl_FragData[0].a = 1.0;"""
"""Leaves are cut out as in the browser (viz/js/light.js): far ones keep a little more."""


@dataclass(frozen=True)
class Easel:
    """One window off screen, used for depth maps and pictures in turn."""

    plotter: pv.Plotter

    def depth_maps(
        self, cards: Cards, hard: Surface, lenses: Sequence[tuple[Lens, int]]
    ) -> list[DepthMap]:
        """How far things lie from a plane before each lens, in squares of so many pixels."""
        self.plotter.clear_actors()
        self._add_cards(cards)
        self._add_surface(hard)
        return [self._depth_map(lens, pixels) for lens, pixels in lenses]

    def _depth_map(self, lens: Lens, pixels: int) -> DepthMap:
        self.plotter.window_size = (pixels, pixels)
        camera = self.plotter.camera
        camera.position = tuple(lens.middle_m + lens.towards * lens.reach_m)
        camera.focal_point, camera.up = tuple(lens.middle_m), tuple(lens.up)
        camera.parallel_projection, camera.parallel_scale = True, lens.half_m
        self._render((0.0, 2 * lens.reach_m))
        values = self._read(depths=True).reshape(pixels, pixels)
        return DepthMap(lens, values.astype(np.float32) * np.float32(2 * lens.reach_m))

    def picture(self, shown: Tableau) -> NDArray[np.uint8]:
        """The tableau, whose colours are final, through its camera: (rows, columns, 3)."""
        camera, fine = shown.camera, _fine(shown.camera)
        self.plotter.clear_actors()
        self.plotter.window_size = (camera.width * fine, camera.height * fine)
        self._add_surface(shown.hard)  # near things first: what they hide is not drawn at all
        for cards in (shown.plants, shown.grass, shown.scenery):
            self._add_cards(cards)
        for surface in (shown.ground, shown.land, shown.sky):
            self._add_surface(surface)
        eye = self.plotter.camera
        eye.position, eye.focal_point, eye.up = camera.eye_m, camera.focal_m, camera.up
        eye.parallel_projection, eye.view_angle = False, camera.upright_deg
        self._render((camera.near_m, camera.far_m))
        values = self._read(depths=False).reshape(fine * camera.height, fine * camera.width, 3)
        pixels = Image.fromarray(values).transpose(Image.Transpose.FLIP_TOP_BOTTOM)
        return np.asarray(pixels.reduce(fine))

    def _read(self, *, depths: bool) -> NDArray[Any]:
        """What was drawn last, lowest row first: depths 0 to 1, or red, green and blue."""
        reader = vtkWindowToImageFilter()
        reader.SetInput(self.plotter.render_window)
        if depths:
            reader.SetInputBufferTypeToZBuffer()
        reader.ReadFrontBufferOff()
        reader.ShouldRerenderOff()
        reader.Update()
        values: NDArray[Any] = vtk_to_numpy(reader.GetOutput().GetPointData().GetScalars())
        return values

    def _render(self, depths_m: tuple[float, float]) -> None:
        self.plotter.camera.clipping_range = depths_m
        self.plotter.render_window.Render()

    def _add_surface(self, surface: Surface) -> None:
        if not len(surface.points_m):
            return
        mesh = pv.PolyData.from_regular_faces(surface.points_m, surface.triangles)
        self._add(mesh, surface.colours, surface.uv, surface.picture, surface.repeat)

    def _add_cards(self, cards: Cards) -> None:
        if not len(cards.points_m):
            return
        corners = np.arange(4 * len(cards.points_m)).reshape(-1, 4)
        mesh = pv.PolyData.from_regular_faces(cards.points_m.reshape(-1, 3), corners)
        colours = None if cards.colours is None else cards.colours.reshape(-1, 3)
        actor = self._add(mesh, colours, cards.uv.reshape(-1, 2), cards.atlas)
        actor.ForceOpaqueOn()
        tag = "//VTK::TCoord::Impl"
        actor.GetShaderProperty().AddFragmentShaderReplacement(tag, True, CUT_OUT, False)

    def _add(
        self,
        mesh: pv.PolyData,
        colours: NDArray[np.uint8] | None,
        uv: NDArray[np.float32] | None,
        picture: NDArray[np.uint8] | None,
        repeat: bool = False,
    ) -> pv.Actor:
        if colours is not None:
            mesh.point_data["rgb"] = colours
        if uv is not None:
            mesh.active_texture_coordinates = uv
        actor = self.plotter.add_mesh(
            mesh, scalars=None if colours is None else "rgb", rgb=colours is not None,
            color="white", lighting=False, show_scalar_bar=False, copy_mesh=False,
            reset_camera=False, render=False,
        )  # fmt: skip
        if picture is not None:
            texture = pv.Texture(picture)
            texture.interpolate, texture.repeat = True, repeat
            texture.mipmap = picture.shape[2] == 3 and not repeat
            actor.texture = texture
        return actor


def _fine(camera: Camera) -> int:
    """Drawing pixels to a pixel of the picture, along each side."""
    return 2 if 4 * camera.width * camera.height <= MOST_FINE_PIXELS else 1


def opened() -> Easel:
    """An easel whose graphics library works; without one, VTK ends the process here."""
    plotter = pv.Plotter(off_screen=True, window_size=(64, 64))
    plotter.render_window.SetMultiSamples(0)
    plotter.show(auto_close=False)
    easel = Easel(plotter)
    drawn(easel, _rehearsal())
    return easel


def _rehearsal() -> Tableau:
    """A tiny tableau of every kind of thing: drawing it makes the shaders before they are asked.

    That takes half a second in software, in which the yard is still growing.
    """
    corner = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]], dtype=np.float32)
    colours = np.full((4, 3), 90, dtype=np.uint8)
    picture, leaves = (np.full((8, 8, bands), 200, dtype=np.uint8) for bands in (3, 4))
    faces = np.array([[0, 1, 2], [0, 2, 3]])
    up = np.array([[0, 0, 1]] * 4, dtype=np.float32)
    plain = Surface(corner, faces, colours=colours, shaded=colours, normals=up)
    ground = Surface(corner, faces, uv=corner[:, :2], picture=picture)
    flat = corner[None]
    cards = Cards(flat, up[None], flat[..., :2], flat, np.ones(1, dtype=np.float32), leaves)
    sheet = Sheet(np.tile(corner[:2, None], (1, 2, 1)), 0.5, np.full(3, 0.5, dtype=np.float32))
    camera = Camera((0.5, 0.5, 3.0), (0.5, 0.5, 0.0), (0.0, 1.0, 0.0), 30.0, 32, 18, 0.1, 10.0)
    return Tableau(
        camera=camera,
        light=Light((0.0, 0.0, 1.0)),
        sky=plain,
        land=replace(plain, uv=corner[:, :2], picture=picture, repeat=True),
        ground=ground,
        sheet=sheet,
        hard=plain,
        plants=cards,
        scenery=cards,
        grass=cards,
        grass_at=np.full((1, 2), 0.5, dtype=np.float32),
    )


def drawn(easel: Easel, asked: Tableau) -> NDArray[np.uint8]:
    """The picture of a tableau: depth maps, then colours in their light, then the drawing."""
    casters = np.concatenate([asked.plants.points_m.reshape(-1, 3), asked.hard.points_m])
    around = np.concatenate([casters, asked.ground.points_m])
    lenses = [
        (lens_over(around, asked.light.towards), MAP_PIXELS),
        (lens_over(around, ABOVE), ABOVE_PIXELS),
    ]
    from_sun, from_above = easel.depth_maps(asked.plants, asked.hard, lenses)
    return easel.picture(lit(asked, from_sun, from_above))


def serve(source: BinaryIO, sink: BinaryIO) -> None:
    """Answer tableaux with pictures until there are no more."""
    easel = opened()
    while True:
        try:
            asked = pickle.load(source)
        except EOFError:
            return
        pickle.dump(drawn(easel, asked), sink, protocol=5)
        sink.flush()


if __name__ == "__main__":
    if sys.platform == "linux" and not os.environ.get("DISPLAY"):
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    with os.fdopen(os.dup(1), "wb") as pictures:
        os.dup2(2, 1)  # whatever a graphics library prints must not get among the pictures
        serve(sys.stdin.buffer, pictures)
