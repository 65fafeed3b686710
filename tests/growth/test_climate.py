import numpy as np
import pytest

from growth.climate import ANYWHERE, REGIONS, Climate, is_region, near_shares, region_shares

CODES = [region.code for region in REGIONS]


@pytest.mark.parametrize(
    "climate",
    [ANYWHERE, Climate(zone=3), Climate("Oregon, US", 44.0, 8), Climate("Mars", 80.0, 13)],
)
def test_shares_add_up_to_one(climate):
    share = region_shares(climate)
    assert share.sum() == pytest.approx(1)
    assert np.all(share >= 0)


def test_nothing_known_is_an_average_climate():
    assert region_shares(ANYWHERE) == pytest.approx(1 / len(REGIONS))
    assert len(near_shares(ANYWHERE)) == len(REGIONS)


@pytest.mark.parametrize(
    ("place", "code"),
    [
        ("Oregon, US", "PacfNW"),
        ("Charlotte", "Piedmt"),
        ("somewhere in north carolina", "Piedmt"),
        ("Washington, DC", "Piedmt"),
        ("Seattle, Washington", "PacfNW"),
    ],
)
def test_a_state_or_city_names_its_region(place, code):
    assert list(near_shares(Climate(place))) == [code]
    assert is_region(Climate(place), code)


def test_zone_and_latitude_part_the_regions_of_a_state():
    """Southern California's coast, zone 10b at 34 degrees, against the valley at 38.6 and 9b."""
    coast = near_shares(Climate("California", 34.0, 10))
    valley = near_shares(Climate("California", 38.6, 9))
    assert next(iter(coast)) in ("SoCalC", "InlEmp")
    assert next(iter(valley)) in ("SacVal", "InlVal")


def test_a_cold_zone_is_nearest_to_the_cold_city():
    assert next(iter(near_shares(Climate(zone=4)))) == "MidWst"
    assert "Tropic" not in near_shares(Climate(zone=4))


def test_the_south_of_the_equator_counts_by_its_distance_from_it():
    assert region_shares(Climate(latitude_deg=-34.0)) == pytest.approx(
        region_shares(Climate(latitude_deg=34.0))
    )
