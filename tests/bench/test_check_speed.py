"""A whole yard from layout to findings: the time a designer waits after a change."""

from pathlib import Path

import growth
import scenes

TERRACE = Path(__file__).parents[2] / "scenes" / "library" / "terrace.toml"


def test_a_designers_yard_is_checked_while_one_waits(benchmark, report):
    yard = scenes.load(TERRACE)
    terrain = scenes.grade(yard)
    layout = scenes.lay_out(yard, terrain)
    stand = growth.grow(yard, layout)
    assert len(stand.plant) >= 120
    findings = benchmark.pedantic(
        growth.check, args=(yard, terrain, layout, stand), rounds=2, iterations=1, warmup_rounds=1
    )
    assert findings.requirements
    warm_s = benchmark.stats.stats.min
    what = f"check, {len(stand.plant)} plants, {len(layout.looks)} views, {len(layout.beds)} beds"
    report(what, warm_s, remark="limit 3 s")
