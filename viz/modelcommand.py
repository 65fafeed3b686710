"""The command `yardyears model`: a yard of one year as a file that other programs open."""

import argparse
from pathlib import Path

from rich.console import Console

import scenes
from viz.grown import grown
from viz.months import summer_month
from viz.outfile import may_be_written, written
from viz.typed import add_month, file_named, read_year

GLB = file_named(".glb", wrong="is not a model; name it like yard.glb")


def add_options(model: argparse.ArgumentParser) -> None:
    """Gives the parser of `model` its options."""
    model.add_argument("yard", type=Path, metavar="YARD")
    model.add_argument(
        "--year", type=read_year, required=True, metavar="Y", help="0, the day of planting, to 30"
    )
    add_month(model)
    model.add_argument("--out", type=GLB, required=True, metavar="F.glb")
    model.set_defaults(run=run_model)


def run_model(args: argparse.Namespace) -> int:
    """`yardyears model`: the yard as binary glTF."""
    may_be_written(args.out)
    yard = scenes.load(args.yard)
    with Console(stderr=True).status("Growing the yard through 30 years ..."):
        terrain, layout, stand = grown(yard)
        from viz.model import Asked, glb, model  # loads PyVista, half a second
        from viz.stage import compose

        stage = compose(yard, terrain, layout, stand, foot_shade=False)
        asked = Asked(args.year, args.month or summer_month(yard.site))
        data = glb(model(yard, layout, stand, stage, asked))
    written(args.out, lambda beside: beside.write_bytes(data))
    count = int(stand.present[args.year].sum())
    plants = f"{count} plant{'' if count == 1 else 's'} at expected size"
    print(f"{args.out} ({len(data) / 1e6:.1f} MB): year {args.year}, {plants}; metres, y up")
    return 0
