"""What time does to a yard: plants grown year by year, with their range, and the checks.

Knows the floor below, scenes, and nothing of pictures or pages. Each name is loaded when it is
first asked for: growing a yard does not wait for the checks to load.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from growth.checks.checking import check
    from growth.checks.findings import Findings
    from growth.climate import Climate
    from growth.errors import GrowthError
    from growth.plantfile import plants_in_file
    from growth.plants import catalogue
    from growth.specimen import plant_course
    from growth.stand import Stand, grow

__all__ = [
    "Climate",
    "Findings",
    "GrowthError",
    "Stand",
    "catalogue",
    "check",
    "grow",
    "plant_course",
    "plants_in_file",
]

_HOME = {
    "check": "growth.checks.checking",
    "Findings": "growth.checks.findings",
    "Climate": "growth.climate",
    "GrowthError": "growth.errors",
    "plants_in_file": "growth.plantfile",
    "catalogue": "growth.plants",
    "plant_course": "growth.specimen",
    "Stand": "growth.stand",
    "grow": "growth.stand",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
