"""The project's own promises: its map, its README, what an install brings."""

import json
import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import scenes
from viz.__main__ import command_line

ROOT = Path(__file__).parents[1]
FLOORS = ("scenes", "growth", "viz", "tests")
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "requirements.lock", "LICENSE", *FLOORS,
}  # fmt: skip
LEFT_BY_TOOLS = {"build", "yardyears.egg-info"}


def _fenced(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", text, flags=re.M | re.S)


def _files_on_disk() -> set[str]:
    found = set()
    for floor in FLOORS:
        for path in (ROOT / floor).rglob("*"):
            relative = path.relative_to(ROOT)
            hidden = any(part.startswith(("__pycache__", ".")) for part in relative.parts)
            if path.is_file() and not hidden:
                found.add(relative.as_posix())
    return found


def _files_on_map() -> set[str]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Map", 1)[1].split("\n## ", 1)[0]
    return set(re.findall(r"^- `([^`]+)`", section, flags=re.M))


def test_map_has_a_line_for_each_file() -> None:
    on_map = _files_on_map()
    folders = {entry for entry in on_map if entry.endswith("/")}
    on_disk = {f for f in _files_on_disk() if not f.startswith(tuple(folders))}
    assert on_map - folders == on_disk
    assert all(any((ROOT / folder).iterdir()) for folder in folders)


def test_top_level_holds_nothing_else() -> None:
    visible = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - LEFT_BY_TOOLS
    assert visible == TOP_LEVEL


def test_lock_is_what_install_reads() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert project["tool"]["setuptools"]["dynamic"]["dependencies"]["file"] == ["requirements.lock"]
    lines = (ROOT / "requirements.lock").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if line and not line.startswith("#")]
    assert all(re.fullmatch(r"[A-Za-z0-9_.-]+==[A-Za-z0-9_.]+", pin) for pin in pins)
    names = {pin.split("==")[0].lower() for pin in pins}
    assert {"pyvista", "numpy", "scipy", "trimesh", "panel"} <= names


def test_readme_yard_loads(tmp_path: Path) -> None:
    (yard,) = _fenced((ROOT / "README.md").read_text(encoding="utf-8"), "toml")
    path = tmp_path / "hedge.toml"
    path.write_text(yard, encoding="utf-8")
    assert scenes.load(path).title == "Front hedge"


def test_readme_mistake_is_what_is_said(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (yard,) = _fenced(text, "toml")
    (message,) = (block for block in _fenced(text, "text") if block.startswith("hedge.toml:"))
    path = tmp_path / "hedge.toml"
    path.write_text(yard.replace("[38, 3.5]]", "[48, 3.5]]"), encoding="utf-8")
    with pytest.raises(scenes.SceneError) as mistake:
        scenes.load(path)
    assert str(mistake.value) == message.strip()


def test_readme_commands_are_understood() -> None:
    """Every command line that README shows is one the program takes."""
    shown = "\n".join(_fenced((ROOT / "README.md").read_text(encoding="utf-8"), "sh"))
    lines = re.findall(r"^\.venv/bin/yardyears (.+)$", shown, flags=re.M)
    assert len(lines) >= 6
    for line in lines:
        asked = command_line().parse_args(shlex.split(line, comments=True))
        assert callable(asked.run)


def _installed_command() -> Path:
    command = Path(sys.executable).parent / "yardyears"
    if not command.exists() and os.environ.get("CI") != "true":
        pytest.skip("yardyears is not installed in this environment")
    return command


def _run(command: Path, *args: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [command, *args], cwd=cwd, capture_output=True, text=True, timeout=120, check=False
    )


def test_installed_command_checks_the_demo_yard_from_an_empty_folder(tmp_path: Path) -> None:
    command = _installed_command()
    found = subprocess.run(
        [sys.executable, "-c", "import scenes; print(scenes.__path__[0])"],
        cwd=tmp_path, capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    demo = Path(found.stdout.strip()) / "library" / "terrace.toml"
    result = _run(command, "check", str(demo), "--json", cwd=tmp_path)
    assert result.returncode in (0, 1), result.stderr
    assert json.loads(result.stdout)["title"] == "Terrace below the maple"
    assert list(tmp_path.iterdir()) == []


def test_installed_command_has_its_catalogue(tmp_path: Path) -> None:
    result = _run(_installed_command(), "plants", "--json", cwd=tmp_path)
    assert result.returncode == 0, result.stderr
    assert len(json.loads(result.stdout)) >= 40
