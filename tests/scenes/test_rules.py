"""Every rule in the register finds its own mistakes, and none in a sound yard."""

import tomllib
from pathlib import Path

import pytest
from pydantic import ValidationError

from scenes.document import Yard
from scenes.lengths import METRES
from scenes.reading import load
from scenes.rules import RULES, mistakes_in

HERE = Path(__file__).parent
SOUND = load(HERE / "yards" / "small.toml")


def _unruled():
    """The broken documents that the model alone would let pass."""
    for path in sorted((HERE / "broken").glob("*.toml")):
        try:
            raw = tomllib.loads(path.read_text())
            unit = raw["lengths"] if raw.get("lengths") in METRES else "m"
            yard = Yard.model_validate(raw, context={"unit": unit})
        except (tomllib.TOMLDecodeError, ValidationError):
            continue
        yard._path = path
        yield yard


UNRULED = list(_unruled())


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_rule_finds_a_mistake_and_passes_a_sound_yard(rule):
    assert any(list(rule(yard)) for yard in UNRULED)
    assert list(rule(SOUND)) == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_some_document_is_refused_by_this_rule_alone(rule):
    """Without this rule the document would be read: no rule repeats another."""
    found = [
        yard.path.stem for yard in UNRULED if list(mistakes_in(yard)) == list(rule(yard)) != []
    ]
    assert found


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_mistakes_are_whole(rule):
    for yard in UNRULED:
        for mistake in rule(yard):
            assert mistake.place
            assert mistake.wrong
            assert mistake.remedy
