import pytest

from scenes.soils import COMMON_EARTH, SOILS, Balance, Soil, balance, soil_called


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("clay", "clay"),
        ("Heavy clay", "clay"),
        ("sandy loam", "common earth"),
        ("sand", "sand"),
        (None, "common earth"),
        ("peat", "common earth"),
    ],
)
def test_soil_is_known_by_its_word(words, name):
    assert soil_called(words).name == name


def test_every_soil_swells_within_its_published_span():
    """Granular 10 to 15 %, clay 20 to 30, rock 30 to 40, common earth 20 to 30."""
    spans = {"sand": (0.10, 0.15), "gravel": (0.10, 0.15), "clay": (0.20, 0.30)}
    spans |= {"rock": (0.30, 0.40), "common earth": (0.20, 0.30)}
    for soil in (COMMON_EARTH, *SOILS.values()):
        low, high = spans[soil.name]
        assert low <= soil.swell <= high


PLAIN = Soil("plain", swell=0.25, shrink=0.10)


def test_field_soil_is_used_first_and_the_rest_brought_in():
    """90 of fill needs 100 of bank; 60 are there, 40 come in."""
    assert balance(60.0, 90.0, PLAIN) == Balance(60.0, 40.0, 0.0)


def test_what_is_left_over_goes_out():
    assert balance(130.0, 90.0, PLAIN) == Balance(100.0, 0.0, 30.0)
