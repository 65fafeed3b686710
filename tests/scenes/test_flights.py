import pytest

from scenes.flights import in_words, ramp_flight, ramp_runs, steps_flight

INCH = 0.0254


@pytest.mark.parametrize(("rise_in", "runs"), [(1, 1), (30, 1), (31, 2), (60, 2), (61, 3)])
def test_a_run_rises_thirty_inches_at_the_most(rise_in, runs):
    assert ramp_runs(rise_in * INCH) == runs


def test_steps_in_words():
    """Five risers of 6 in over four treads of 14 in; then over treads of 10 in."""
    flat = steps_flight(rise_m=30 * INCH, length_m=56 * INCH, risers=5)
    assert in_words(flat, inches=True) == "5 risers of 6 in on treads of 14 in"
    steep = steps_flight(rise_m=30 * INCH, length_m=40 * INCH, risers=5)
    assert in_words(steep, inches=True).endswith(
        "10 in, steeper than the usual 1:2; your code governs"
    )
    one = steps_flight(rise_m=0.15, length_m=0.3, risers=1)
    assert in_words(one, inches=False) == "1 riser of 150 mm"


def test_ramps_in_words():
    assert in_words(ramp_flight(rise_m=0.5, length_m=6.0), inches=False) == "ramp at 1:12"
    steep = ramp_flight(rise_m=60 * INCH, length_m=(600 + 60) * INCH)
    assert in_words(steep, inches=True) == (
        "ramp at 1:10, landings between: 1, steeper than the 1:12 of ADA 405.2; your code governs"
    )
