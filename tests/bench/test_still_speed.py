"""A still of the demo yard from the command line, 1600 x 900 with shadows: the time one waits."""

import subprocess
import sys
from pathlib import Path

TERRACE = Path(__file__).parents[2] / "scenes" / "library" / "terrace.toml"


def test_a_still_is_there_before_one_has_looked_away(benchmark, report, tmp_path):
    out = tmp_path / "still.png"
    command = [
        sys.executable,
        "-m",
        "viz",
        "still",
        str(TERRACE),
        "--year",
        "15",
        "--out",
        str(out),
    ]
    benchmark.pedantic(
        subprocess.run, args=(command,), kwargs={"check": True, "capture_output": True}, rounds=2,
        iterations=1,
    )  # fmt: skip
    assert out.stat().st_size > 100_000
    report("still, 1600 x 900 with shadows", benchmark.stats.stats.min, remark="limit 6 s")
