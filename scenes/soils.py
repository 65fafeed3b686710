"""Soil in its three states: in the bank, loose when dug, compacted when placed.

Volumes between surfaces are bank volumes. Dug soil swells: loose = bank (1 + swell); placed
and rolled it shrinks: compacted = bank (1 - shrink). The soil is taken by a word in
`site.soil`; `ground.swell_percent` and `ground.shrink_percent` say otherwise. Soils differ
more than this table does: the figures are for planning, not for payment.

Source: swell: granular 10-15, clay 20-30, rock 30-40, common earth 20-30 %, the middle of each
span (earthwork calculators of the trade: calcady, boneyardtools); shrink: about 10 % as a rule
(the same), sand 5 % (US Army FM 5-430, from memory); rock is assumed not to shrink. A truck of
12 cubic yards, loose: worked example at spikevm.com (after FHWA 2007 and Church 1981).
"""

from dataclasses import dataclass

from scenes.lengths import METRES

CUBIC_YARD_M3 = METRES["yd"] ** 3
TRUCK_M3 = 12 * CUBIC_YARD_M3


@dataclass(frozen=True)
class Soil:
    """A soil's name, and its swell and shrink as shares of its volume in the bank."""

    name: str
    swell: float
    shrink: float


COMMON_EARTH = Soil("common earth", 0.25, 0.10)
SOILS = {
    "sand": Soil("sand", 0.125, 0.05),
    "gravel": Soil("gravel", 0.125, 0.10),
    "clay": Soil("clay", 0.25, 0.10),
    "rock": Soil("rock", 0.35, 0.0),
}


def soil_called(words: str | None) -> Soil:
    """The soil that some words speak of ("sandy loam": common earth, "heavy clay": clay)."""
    spoken = (words or "").lower().split()
    return next((soil for name, soil in SOILS.items() if name in spoken), COMMON_EARTH)


def loose_m3(bank_m3: float, soil: Soil) -> float:
    """What soil measures once dug, in cubic metres."""
    return bank_m3 * (1 + soil.swell)


def compacted_m3(bank_m3: float, soil: Soil) -> float:
    """What soil measures once placed and rolled, in cubic metres."""
    return bank_m3 * (1 - soil.shrink)


def bank_for_m3(placed_m3: float, soil: Soil) -> float:
    """Bank volume in cubic metres that fills a compacted volume."""
    return placed_m3 / (1 - soil.shrink)


@dataclass(frozen=True)
class Balance:
    """Bank volumes in cubic metres: field soil used again, brought in, taken away."""

    reused_m3: float
    import_m3: float
    export_m3: float


NOTHING_CARTED = Balance(0.0, 0.0, 0.0)


def balance(cut_m3: float, fill_m3: float, soil: Soil) -> Balance:
    """Field soil first: cut fills what it can, and what lacks or is left is carted."""
    needed_m3 = bank_for_m3(fill_m3, soil)
    reused_m3 = min(cut_m3, needed_m3)
    return Balance(reused_m3, needed_m3 - reused_m3, cut_m3 - reused_m3)
