"""The planting plan of the demo yard as PDF from the command line: the time one waits."""

import subprocess
import sys
from pathlib import Path

TERRACE = Path(__file__).parents[2] / "scenes" / "library" / "terrace.toml"


def test_a_plan_is_there_soon(benchmark, report, tmp_path):
    out = tmp_path / "plan.pdf"
    command = [sys.executable, "-m", "viz", "plan", str(TERRACE), "--out", str(out)]
    benchmark.pedantic(
        subprocess.run, args=(command,), kwargs={"check": True, "capture_output": True}, rounds=2,
        iterations=1,
    )  # fmt: skip
    assert out.stat().st_size > 50_000
    report("planting plan as PDF", benchmark.stats.stats.min, remark="limit 5 s")
