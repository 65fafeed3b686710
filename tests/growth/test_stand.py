import datetime
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import spearmanr

from growth.errors import GrowthError
from growth.plants import catalogue
from growth.scores import even_scores, layered_scores, plain_scores
from growth.specimen import as_json, grow_specimen
from growth.stand import BETWEEN_KINDS, draw, grow
from growth.starts import first_season
from scenes.document import Yard
from scenes.layout import Layout, Source

NOW = {"height": 1.0, "spread": 0.8}


def yard_of(*, planting=(), kept=(), planted="2027-03-15", latitude_deg=None, plant=()):
    site = {"boundary": [[0, 0], [9, 0], [9, 9], [0, 9]], "latitude_deg": latitude_deg}
    if planted is not None:
        site["planted"] = datetime.date.fromisoformat(planted)
    document = {
        "title": "Test", "lengths": "m", "site": site, "planting": list(planting),
        "kept": list(kept), "plant": list(plant),
        "ground": {"points": [[0, 0, 0], [9, 0, 0], [0, 9, 0]]},
    }  # fmt: skip
    yard = Yard.model_validate(document, context={"unit": "m"})
    yard._path = Path("test.toml")
    return yard


def layout_of(yard, *, count=1):
    """`count` plants from every table, on flat ground."""
    sources = [
        *(Source(f"kept[{k}]", t.plant, t, None) for k, t in enumerate(yard.kept, 1)),
        *(Source(f"planting[{k}]", t.plant, None, t) for k, t in enumerate(yard.planting, 1)),
    ]
    n = count * len(sources)
    return Layout(
        beds=(), surfaces=(), solids=(), sources=tuple(sources),
        source=np.repeat(np.arange(len(sources)), count), xyz_m=np.zeros((n, 3)),
        looks=(), not_computed=(),
    )  # fmt: skip


def planting(name="Ilex crenata", **changes):
    return {"plant": name, "at": [[1, 1]], "now": NOW, **changes}


def stand_of(*plantings, count=1, **changes):
    yard = yard_of(planting=plantings, **changes)
    return grow(yard, layout_of(yard, count=count))


def test_year_0_is_the_size_at_planting():
    stand = stand_of(planting(), planting("Acer rubrum"))
    for sizes, start_m in ((stand.height_m, 1.0), (stand.spread_m, 0.8)):
        assert sizes.low[0] == pytest.approx(start_m)
        assert sizes.expected[0] == pytest.approx(start_m)
        assert sizes.high[0] == pytest.approx(start_m)


def test_plants_of_one_start_share_a_course():
    stand = stand_of(planting(), planting(), planting("Acer rubrum"), count=5)
    assert stand.courses.height_m.shape == (33, 31, 2)
    assert len(stand.plants) == 2
    assert stand.plant.tolist() == [0] * 10 + [1] * 5


def test_a_hundred_thousand_plants_are_as_one():
    one, many = stand_of(planting()), stand_of(planting(), count=100_000)
    assert many.height_m.expected.shape == (31, 100_000)
    assert np.all(many.height_m.expected == one.height_m.expected)
    assert draw(many, count=1, seed=1).height_m.shape == (1, 31, 100_000)


def test_a_yard_without_plants_has_an_empty_stand():
    stand = stand_of()
    assert stand.height_m.expected.shape == (31, 0)
    assert draw(stand, count=3, seed=1).spread_m.shape == (3, 31, 0)


@pytest.mark.parametrize(
    ("date", "southern", "season"),
    [
        ("2027-03-15", False, 2027),
        ("2027-06-21", False, 2027),
        ("2027-06-22", False, 2028),
        ("2027-10-15", False, 2028),
        ("2027-10-15", True, 2027),
        ("2027-12-22", True, 2028),
        ("2028-03-15", True, 2028),
    ],
)
def test_after_midsummer_the_next_season_is_the_first(date, southern, season):
    assert first_season(datetime.date.fromisoformat(date), southern=southern) == season


def test_the_yards_own_plants_start_in_year_0_whenever_it_is_planted():
    spring = stand_of(planting(), planted="2027-03-15")
    autumn = stand_of(planting(), planted="2027-10-15")
    assert np.all(spring.height_m.expected == autumn.height_m.expected)


def test_plants_set_later_are_absent_first_and_then_run_the_same_course():
    later = stand_of(planting(), planting(planted=datetime.date(2029, 10, 1)))
    assert later.present[:, 1].tolist() == [False] * 3 + [True] * 28
    assert np.all(later.height_m.high[:3, 1] == 0)
    assert later.height_m.expected[3:, 1] == pytest.approx(later.height_m.expected[:28, 0])
    assert np.all(draw(later, count=4, seed=1).spread_m[:, :3, 1] == 0)


def test_a_nurse_plant_leaves_in_its_year():
    stand = stand_of(planting(removed=6))
    assert stand.present[:, 0].tolist() == [True] * 6 + [False] * 25
    assert np.all(stand.spread_m.high[6:] == 0)
    assert np.all(stand.spread_m.low[:6] > 0)


def test_clipping_holds_height_and_spread_each_at_its_limit():
    free = stand_of(planting("Prunus laurocerasus"))
    clipped = stand_of(planting("Prunus laurocerasus", kept_at={"height": 2.0}))
    assert clipped.height_m.high.max() == pytest.approx(2.0)
    low_m = np.minimum(free.height_m.low, 2.0)  # the mean may lie below the 10th percentile
    assert clipped.height_m.low == pytest.approx(np.minimum(low_m, clipped.height_m.expected))
    assert np.all(clipped.spread_m.high == free.spread_m.high)
    assert draw(clipped, count=50, seed=2).height_m.max() == pytest.approx(2.0)


def test_plants_clipped_all_the_same_have_no_range():
    stand = stand_of(planting("Prunus laurocerasus", kept_at={"height": 0.9, "spread": 0.7}))
    assert stand.height_m.low == pytest.approx(0.9)
    assert stand.height_m.expected == pytest.approx(0.9)


def test_a_kept_tree_starts_as_measured_and_runs_on():
    kept = [{"plant": "Quercus garryana", "at": [1, 1], "height": 13.7, "spread": 15.2}]
    yard = yard_of(kept=kept)
    stand = grow(yard, layout_of(yard))
    assert stand.kept.tolist() == [True]
    assert stand.height_m.expected[0, 0] == pytest.approx(13.7)
    assert stand.spread_m.high[0, 0] == pytest.approx(15.2)
    assert np.all(np.diff(stand.height_m.low[:, 0]) > 0)


def test_a_kept_tree_beyond_its_mature_size_grows_at_most_a_little():
    """Measured 40 m where 24 m is the mature height: its asymptote is 42 m, low to high."""
    kept = [{"plant": "Quercus garryana", "at": [1, 1], "height": 40.0, "spread": 15.0}]
    yard = yard_of(kept=kept)
    stand = grow(yard, layout_of(yard))
    assert np.all(np.diff(stand.height_m.low[:, 0]) > 0)
    assert stand.height_m.high.max() < 42.0


def test_a_planted_giant_keeps_its_size():
    giant = {"height": 30.0, "spread": 30.0}
    stand = stand_of(planting("Ilex crenata", now=giant))
    assert stand.height_m.high == pytest.approx(30.0)
    assert stand.spread_m.low == pytest.approx(30.0)


def test_crown_base_is_on_the_ground_but_for_trees_and_palms():
    stand = stand_of(planting("Ilex crenata"), planting("Acer rubrum"))
    assert np.all(stand.crown_base_m.high[:, 0] == 0)
    assert np.all(stand.crown_base_m.low[:, 1] > 0)
    assert np.all(stand.crown_base_m.low < stand.height_m.low)
    assert np.all(stand.crown_base_m.high < stand.height_m.high)


def test_low_and_high_are_the_tenth_and_ninetieth_percentile_of_draws():
    """20,000 draws: a 10 % share is met within 0.6 % (three standard errors)."""
    stand = stand_of(planting("Acer rubrum"))
    heights_m = draw(stand, count=20_000, seed=3).height_m[:, 15, 0]
    assert np.mean(heights_m < stand.height_m.low[15, 0]) == pytest.approx(0.1, abs=0.0064)
    assert np.mean(heights_m > stand.height_m.high[15, 0]) == pytest.approx(0.1, abs=0.0064)
    error = 3 * float(heights_m.std()) / math.sqrt(20_000)
    assert heights_m.mean() == pytest.approx(stand.height_m.expected[15, 0], abs=error)


@pytest.mark.parametrize("scores", [plain_scores, even_scores, layered_scores])
def test_plants_of_a_kind_vary_partly_together_and_kinds_apart(scores):
    """Normal scores correlated b have rank correlation 6/pi asin(b/2)."""
    stand = stand_of(planting("Acer rubrum"), planting("Quercus rubra"), count=2)
    heights_m = draw(stand, count=4000, seed=4, scores=scores).height_m[:, 12]
    rank = spearmanr(heights_m).statistic
    within = 6 / math.pi * math.asin(BETWEEN_KINDS / 2)
    assert rank[0, 1] == pytest.approx(within, abs=0.045)
    assert rank[2, 3] == pytest.approx(within, abs=0.045)
    assert rank[0, 2] == pytest.approx(0, abs=0.05)


def test_draws_follow_the_seed():
    stand = stand_of(planting("Acer rubrum"))
    first, again, other = (draw(stand, count=5, seed=seed).height_m for seed in (7, 7, 8))
    assert np.all(first == again)
    assert np.any(first != other)


@pytest.mark.parametrize("scores", [even_scores, layered_scores])
def test_few_even_draws_hit_the_mean_better_than_plain_ones(scores):
    """Mean of 32 draws against the quadrature, over 40 seeds: the spread of errors shrinks."""
    stand = stand_of(planting("Acer rubrum"))
    target = stand.height_m.expected[10, 0]

    def error(scores):
        return np.std([
            draw(stand, count=32, seed=seed, scores=scores).height_m[:, 10, 0].mean()
            - target
            for seed in range(40)
        ])  # fmt: skip

    assert error(scores) < 0.5 * error(plain_scores)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        (planting("Ilex crenta"), r'planting\[1\]\.plant: "Ilex crenta" is not a known plant'),
        (planting(now=None, size="huge"), r'planting\[1\]\.size: "huge" is unknown'),
        (
            planting(planted=datetime.date(2026, 1, 1)),
            r"planting\[1\]\.planted: 2026-01-01 is before the yard's 2027-03-15",
        ),
        (
            planting(planted=datetime.date(2090, 1, 1)),
            r"planting\[1\]\.planted: 2090-01-01 is 63 seasons after",
        ),
        (
            planting(planted=datetime.date(2029, 4, 1), removed=2),
            r"planting\[1\]\.removed: year 2 is not after planting in year 2",
        ),
    ],
)
def test_a_wrong_planting_is_named_with_its_remedy(table, message):
    with pytest.raises(GrowthError, match=r"^test\.toml: " + message):
        stand_of({key: value for key, value in table.items() if value is not None})


def test_a_planting_date_needs_the_yards_date():
    with pytest.raises(GrowthError, match=r"no yard date to count from; write site\.planted"):
        stand_of(planting(planted=datetime.date(2027, 10, 1)), planted=None)


def kept_stand(**changes):
    oak = {"plant": "Quercus garryana", "at": [1, 1], "height": 12.0, "spread": 9.0, **changes}
    yard = yard_of(kept=[oak])
    return grow(yard, layout_of(yard))


def test_establishment_of_large_stock_is_told_and_delays_it():
    sizes = ("1 in cal", "4 in cal")
    small, large = (stand_of({"plant": "Tilia cordata", "at": [[1, 1]], "size": s}) for s in sizes)
    assert small.notes == ()
    assert large.notes[0].startswith("Tilia cordata at (1.0, 1.0): establishment takes about 2.0")
    gained_m = [np.diff(stand.height_m.expected[:4, 0]).sum() for stand in (small, large)]
    assert gained_m[1] < 0.6 * gained_m[0]


def test_a_trunk_tells_the_age_and_it_is_said():
    stand = kept_stand(trunk_diameter="22 in")
    assert stand.notes[0].startswith("Quercus garryana at (1.0, 1.0): about ")
    assert "years since planting by its trunk" in stand.notes[0]
    assert stand.height_m.expected[0, 0] == pytest.approx(12.0)


def test_first_clippings_are_named_by_place():
    stand = stand_of(planting(), planting("Prunus laurocerasus", kept_at={"height": 2.0}))
    clip = stand.clipping[0]
    assert (clip.place, clip.plant) == ("planting[2]", "Prunus laurocerasus")
    assert clip.low <= clip.expected <= clip.high


def test_an_undamaged_stand_is_whole_and_its_draws_need_no_vigour():
    stand = kept_stand()
    assert np.all(stand.vigour.low == 1)
    assert draw(stand, count=3, seed=1).vigour is None


def test_lost_roots_thin_the_draws_and_the_dead_are_gone():
    """Half the roots lost: one tree in ten is dead by year 5."""
    stand = kept_stand(roots_lost=0.5)
    draws = draw(stand, count=2000, seed=5)
    dead = draws.vigour[:, 6, 0] == 0
    assert dead.mean() == pytest.approx(0.1, abs=0.03)
    assert np.all((draws.spread_m[:, 6, 0] == 0) == dead)
    assert np.all(draws.spread_m[:, 1, 0] > 0)
    assert draws.vigour[:, 3, 0].mean() == pytest.approx(stand.vigour.expected[3, 0], abs=0.02)
    assert stand.spread_m.low[6, 0] == 0
    assert stand.vigour.low[6, 0] == 0


def test_a_specimen_grows_as_in_a_yard():
    size = {"plant": "Acer rubrum", "at": [[1, 1]], "size": "2 in cal"}
    stand, alone = stand_of(size), grow_specimen(catalogue()["Acer rubrum"], size="2 in cal")
    assert np.all(stand.height_m.high[:, 0] == alone.height_m.high)
    assert np.all(stand.crown_base_m.expected[:, 0] == alone.crown_base_m.expected)


def test_a_specimen_speaks_the_agreed_keys():
    document = as_json(grow_specimen(catalogue()["Ilex crenata"], until=12))
    assert {
        "plant", "years", "height_m", "spread_m", "crown_base_m", "source", "basis",
    } <= set(document)  # fmt: skip
    assert document["years"] == list(range(13))
    assert set(document["height_m"]) == {"low", "expected", "high"}
    assert document["basis"] == "mature size and rate, assumed range"


@pytest.mark.parametrize("until", [0, -3, 101])
def test_a_span_out_of_reach_is_refused(until):
    with pytest.raises(GrowthError, match=r"until: .* write 1 to 100"):
        grow_specimen(catalogue()["Ilex crenata"], until=until)
