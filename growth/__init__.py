"""What time does to a yard: plants grown year by year, with their range, and the checks.

Knows the floor below, scenes, and nothing of pictures or pages.
"""

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
