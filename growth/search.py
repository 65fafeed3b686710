"""Plants of the catalogue found by words and figures: "evergreen screen zone 7 fast".

Every word narrows the search. Words are looked for in names, kind, form, leaf, rate, light,
uses and colours; phrases ask for a zone, a height or spread, a month of flowers, a colour of
one part, or leave out what lists warn of. A word that fits nothing is named, and then no
plant is shown. Nothing here can ask for plants that are harmless: the catalogue knows only
what lists name, and not being named is no promise.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from difflib import get_close_matches
from typing import Any

from growth.colours import COLOUR_WORDS, colour_word
from growth.errors import GrowthError
from growth.plants import PARTS, UNKNOWN, Plant
from growth.seasons import MONTHS
from growth.uses import uses
from scenes.lengths import METRES, parse_length_m

SAME = {
    "medium": "moderate", "rapid": "fast", "quick": "fast", "gray": "grey", "violet": "purple",
    "gold": "yellow", "golden": "yellow", "cover": "groundcover", "ground-cover": "groundcover",
    "coniferous": "conifer", "flower": "flowers", "flowering": "flowers", "prickly": "thorny",
    "spiny": "thorny", "toxic": "listed-toxic", "poisonous": "listed-toxic",
    "invasive": "listed-invasive",
}  # fmt: skip
"""Words that mean the same as one of the catalogue's."""

PAIRS = {
    "part shade": "part shade", "part sun": "part shade", "full sun": "sun", "full shade": "shade",
    "shade tree": "shade tree", "shade trees": "shade tree", "ground cover": "groundcover",
}  # fmt: skip
"""Two words that are read as one."""

PROMISES = (
    "safe", "nontoxic", "non-toxic", "nonpoisonous", "non-poisonous", "harmless", "petsafe",
    "pet-safe", "childsafe", "child-safe", "pet-friendly",
)  # fmt: skip

PART_OF_WORD = {
    "flower": "flower", "flowers": "flower", "flowering": "flower", "spring": "spring",
    "leaf": "leaf", "leaves": "leaf", "foliage": "leaf", "summer": "leaf", "autumn": "autumn",
    "fall": "autumn", "winter": "winter",
}  # fmt: skip

LEAST_START = 4
"""Letters from which the start of a name's word is enough to find it."""

ROUNDING_M = 0.005
"""Sizes in the catalogue are rounded to the centimetre."""

_LENGTH = re.compile(r"([\d.]+)\s*([a-z'\"-]*)")
_UNIT_OF_MARK = {"'": "ft", '"': "in", "feet": "ft", "foot": "ft", "inches": "in", "metres": "m"}

Fits = Callable[[Plant], bool]


@dataclass(frozen=True)
class Found:
    """Plants that fit, the words that fit no plant at all, and near words for those."""

    plants: tuple[Plant, ...]
    unmatched: tuple[str, ...]
    near: tuple[str, ...]


def search(words: Sequence[str], plants: Sequence[Plant]) -> Found:
    """Plants that fit every word, or the words that fit none.

    Raises GrowthError for a phrase that lacks its figure, and for promises no list can keep.
    """
    tokens = [_bare(word) for word in " ".join(words).lower().replace(",", " ").split()]
    wishes = [
        (text, fits if any(map(fits, plants)) else _starting(text))
        for text, fits in _wishes(tokens)
    ]
    unmatched = tuple(text for text, fits in wishes if not any(map(fits, plants)))
    if unmatched:
        return Found((), unmatched, _near(unmatched, plants))
    fitting = (plant for plant in plants if all(fits(plant) for _, fits in wishes))
    return Found(tuple(fitting), (), ())


def as_json(plant: Plant) -> dict[str, Any]:
    """All facts of a plant with their sources, and the uses they allow, for json.dumps."""
    shown = {each.name: getattr(plant, each.name) for each in fields(plant)}
    return {
        **shown,
        "toxic": plant.toxic,
        "uses": list(uses(plant)),
        "sources": dict(plant.sources),
    }


def vocabulary(plant: Plant) -> frozenset[str]:
    """Every word a plant is found by, in small letters."""
    facts = {plant.kind, plant.form, plant.leaf, plant.rate, *uses(plant), *lights(plant)}
    facts |= {colour_word(getattr(plant, f"colour_{part}")) for part in PARTS} - {""}
    facts |= {"thorny", "thorns"} if plant.thorny else set()
    facts |= {"listed-toxic"} if is_listed_toxic(plant) else set()
    facts |= {"listed-invasive"} if plant.invasive else set()
    facts |= {"flowers"} if plant.flower_months else set()
    facts |= {"autumn"} if plant.colour_autumn else set()
    return frozenset(facts) | _name_words(plant)


def lights(plant: Plant) -> frozenset[str]:
    """The lights a plant takes: sun, part shade, shade; "sun to shade" means all three."""
    scale = ("sun", "part shade", "shade")
    ends = [scale.index(end) for end in plant.light.split(" to ") if end in scale]
    return frozenset(scale[min(ends) : max(ends) + 1]) if ends else frozenset()


def is_listed_toxic(plant: Plant) -> bool:
    """Whether some list names the plant as toxic, to people or to pets."""
    return any(text not in ("", UNKNOWN) for text in (plant.toxic_people, plant.toxic_pets))


WITHOUT: dict[str, Fits] = {
    "listed-toxic": lambda plant: not is_listed_toxic(plant),
    "thorns": lambda plant: not plant.thorny,
    "listed-invasive": lambda plant: not plant.invasive,
}
"""What can be left out of a search."""


def _wishes(tokens: list[str]) -> Iterator[tuple[str, Fits]]:
    """Each wish as it was written, with its test."""
    at = 0
    while at < len(tokens):
        taken, fits = _wish(tokens[at:])
        yield " ".join(tokens[at : at + taken]), fits
        at += taken


def _wish(tokens: list[str]) -> tuple[int, Fits]:
    """The wish that tokens start with: how many it takes, and its test."""
    word = tokens[0]
    pair = " ".join(tokens[:2])
    if word in PROMISES or pair in ("not toxic", "not poisonous"):
        promise = word if word in PROMISES else pair
        raise GrowthError(
            f'"{promise}": no list can promise that; write "without listed-toxic", which leaves '
            "out plants that a list names; most others were not looked up"
        )
    if word in ("zone", "zones"):
        return 2, _in_zone(tokens)
    if word in _MEASURES:
        return _of_size(tokens)
    if word in ("without", "no", "not"):
        return 2, _without(tokens)
    if pair in PAIRS:
        return 2, _known(PAIRS[pair])
    if word in MONTHS:
        return 1, _flowers_in(MONTHS.index(word) + 1)
    return _of_part(tokens) or (1, _known(word))


def _in_zone(tokens: list[str]) -> Fits:
    match = re.fullmatch(r"(\d{1,2})[ab]?", tokens[1]) if len(tokens) > 1 else None
    if match is None or not 1 <= int(match[1]) <= 13:
        raise GrowthError(f'"{" ".join(tokens[:2])}" names no zone; write like "zone 7", 1 to 13')
    zone = int(match[1])
    return lambda plant: plant.zones is not None and plant.zones[0] <= zone <= plant.zones[1]


_MEASURES: dict[str, Callable[[Plant, float], bool]] = {
    "under": lambda plant, length_m: plant.height_m[1] <= length_m + ROUNDING_M,
    "over": lambda plant, length_m: plant.height_m[0] >= length_m - ROUNDING_M,
    "narrower": lambda plant, length_m: plant.spread_m[1] <= length_m + ROUNDING_M,
    "wider": lambda plant, length_m: plant.spread_m[0] >= length_m - ROUNDING_M,
}
"""Mature sizes that stay within a length, or reach it, over the whole range of the plant."""


def _of_size(tokens: list[str]) -> tuple[int, Fits]:
    """A limit of height or spread: "under 6 ft", "over 3m", "narrower than 4 ft"."""
    start = 2 if tokens[1:2] == ["than"] else 1
    match = _LENGTH.fullmatch(tokens[start]) if len(tokens) > start else None
    taken = start + 1
    unit = match[2] if match else ""
    if match and not unit and len(tokens) > taken:
        unit = tokens[taken]
        taken += 1
    unit = _UNIT_OF_MARK.get(unit, unit)
    if match is None or unit not in METRES:
        raise GrowthError(
            f'"{" ".join(tokens[:taken])}" is no length; write a number and a unit, '
            f'like "{tokens[0]} 6 ft" or "{tokens[0]} 2 m"'
        )
    try:
        length_m = parse_length_m(f"{match[1]} {unit}", unit=None)
    except ValueError as error:
        raise GrowthError(f"{tokens[0]}: {error}") from None
    holds = _MEASURES[tokens[0]]
    return taken, lambda plant: holds(plant, length_m)


def _without(tokens: list[str]) -> Fits:
    word = tokens[1] if len(tokens) > 1 else ""
    word = {"thorny": "thorns", "toxic": "listed-toxic"}.get(word, SAME.get(word, word))
    if word not in WITHOUT:
        raise GrowthError(
            f'"{" ".join(tokens[:2])}" cannot be left out; what can is '
            + ", ".join(f'"without {thing}"' for thing in WITHOUT)
        )
    return WITHOUT[word]


def _of_part(tokens: list[str]) -> tuple[int, Fits] | None:
    """A part with a colour or a month, "autumn red", "white flowers in june"; None if neither."""
    colour_first = len(tokens) > 1 and SAME.get(tokens[0], tokens[0]) in COLOUR_WORDS
    part = PART_OF_WORD.get(tokens[1] if colour_first else tokens[0])
    if part is None:
        return None
    tests = [_coloured(part, tokens[0])] if colour_first else []
    taken = 2 if colour_first else 1
    for word in tokens[taken:]:
        if SAME.get(word, word) in COLOUR_WORDS:
            tests.append(_coloured(part, word))
        elif part == "flower" and word in MONTHS:
            tests.append(_flowers_in(MONTHS.index(word) + 1))
        elif not (part == "flower" and word == "in"):
            break
        taken += 1
    return (taken, lambda plant: all(test(plant) for test in tests)) if tests else None


def _coloured(part: str, word: str) -> Fits:
    plain = SAME.get(word, word)
    return lambda plant: colour_word(getattr(plant, f"colour_{part}")) == plain


def _flowers_in(month: int) -> Fits:
    return lambda plant: month in plant.flower_months


def _bare(word: str) -> str:
    """The word without the quotes of a cultivar's name; marks of feet and inches stay."""
    return word if word[0].isdigit() else word.strip("'\"") or word


def _known(word: str) -> Fits:
    """A word of the plant's facts or names."""
    same = {word, word.removesuffix("s"), SAME.get(word, word)}
    return lambda plant: bool(same & vocabulary(plant))


def _starting(text: str) -> Fits:
    """The start of a word of the plant's names, for what fits no plant as a whole word."""
    if len(text) < LEAST_START:
        return lambda plant: False
    return lambda plant: any(name.startswith(text) for name in _name_words(plant))


def _name_words(plant: Plant) -> frozenset[str]:
    names = f"{plant.name} {plant.common}".lower()
    return frozenset(re.findall(r"[a-z][a-z'-]*[a-z]|\d+", names))


def _near(unmatched: Sequence[str], plants: Sequence[Plant]) -> tuple[str, ...]:
    """Known words near those that fit nothing, the nearest first."""
    known = sorted({word for plant in plants for word in vocabulary(plant)})
    near = (get_close_matches(word, known, n=2, cutoff=0.75) for word in unmatched)
    return tuple(dict.fromkeys(word for words in near for word in words))
