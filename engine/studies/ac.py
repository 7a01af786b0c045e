"""AC supplies as phasors: single phase and split phase, shore, generators. RMS values, the first line at angle zero.

Knows no graph.
"""

from __future__ import annotations

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.graph.sources import SPLIT_FROM_V
from engine.model.network import Part
from engine.studies.supplies import Supply, fall
from engine.studies.values import Corner, Figure, field_source, named, pick, shown

VOLTS = ("output_v", "nominal_v")
RATED = ("service_a", "rated_a", "output_a")
USUAL_A = 30.0
_SPLIT = Source(
    "common practice", "the two lines of a split-phase supply are half its voltage either side of neutral", "memory"
)


def ac_supply(boat: Boat, part: Part, a: Node, b: Node, corner: Corner) -> Supply | None:
    """An AC source from neutral a to line b; None without a voltage (the fields that it lacks make its loads dead)."""
    name = next((name for name in VOLTS if quantity(part, name) is not None), None)
    if name is None:
        return None
    stated = quantity(part, name)
    volts = pick(stated, corner, "high")
    source, formula = field_source(boat, part, name), f"{named(boat, part, name)} {shown(stated, volts)} V"
    emf = Figure(volts, "V", formula, (source,))
    if b[2] in ("L1", "L2"):
        emf = _line_voltage(volts, b[2], formula, source)
    return Supply(part, a, b, emf, _impedance(part, abs(emf.value), corner))


def _line_voltage(volts: float, pole: str, formula: str, source: Source) -> Figure:
    half = volts / 2 if volts > SPLIT_FROM_V else volts
    sign = 1 if pole == "L1" else -1
    text = (
        f"{'' if sign > 0 else '−'}({formula}){' / 2' if volts > SPLIT_FROM_V else ''} = {number_text(sign * half)} V"
    )
    return Figure(sign * half, "V", text, (source, _SPLIT))


def _impedance(part: Part, volts: float, corner: Corner) -> Figure:
    stated = next((got for name in RATED if (got := quantity(part, name)) is not None), None)
    amps = pick(stated, corner, "high") if stated is not None else USUAL_A
    kind = "shore_drop" if part.kind.startswith("shore_inlet") else "generator_drop"
    return fall(volts, amps, kind, corner)
