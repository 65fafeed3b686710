"""Plants found for the plan: by words, with sizes, and with what lists warn of."""

from viz.handsearch import MOST_FOUND, found


def test_a_name_finds_the_plant_with_its_sizes():
    told = found(None, "Ilex crenata")
    (plant,) = told["plants"]
    assert (plant["name"], told["words"]) == ("Ilex crenata", "Ilex crenata")
    assert "#5" in plant["sizes"]
    (hybrid,) = found(None, "nepeta x faassenii ")["plants"]  # a whole name, in any letters
    assert hybrid["name"] == "Nepeta x faassenii"


def test_words_narrow_the_search_and_lists_warn():
    told = found(None, "red maple")
    assert told["plants"][0]["name"] == "Acer rubrum"
    assert "listed as toxic" in told["plants"][0]["cautions"]


def test_no_more_are_listed_than_fit_and_the_rest_is_counted():
    told = found(None, "evergreen")
    assert len(told["plants"]) == MOST_FOUND
    assert told["say"].endswith(f"plants, the first {MOST_FOUND} below.")


def test_what_fits_nothing_or_cannot_be_asked_is_said():
    assert found(None, "evergren")["say"].startswith("No plant is known by evergren; near are ")
    assert "no list can promise that" in found(None, "harmless shrub")["say"]
    assert found(None, "  ")["plants"] == []
