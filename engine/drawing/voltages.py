"""The system voltage of each panel, for its head: what the sources say from which it is fed. Knows no geometry.

A label only: what a check needs it works out for itself from the pole graph.
"""

from __future__ import annotations

from collections.abc import Mapping

from engine.drawing.captions import quantity
from engine.library.device import DeviceKind, Library
from engine.model.document import Document
from engine.model.lookup import parts_by_id
from engine.model.network import AC_LINES, Part
from engine.model.quantity import Quantity, as_quantity

SOURCES = ("battery", "ac_source", "transformer", "converter")
PASSES = ("protection", "switch", "bus", "meter", "galvanic_isolator", "dc_panel", "ac_panel")
LIVE = frozenset({"+"}) | AC_LINES
Neighbours = Mapping[str, list[tuple[str, str, str]]]
"""Part -> (own port, part at the other end, its port)."""
NOMINAL_SPREAD = 1.1
"""Nominal voltages of one system: a lithium string of 25.6 V on 24 V."""


def panel_voltages(document: Document, library: Library) -> dict[str, str]:
    """ "12 V DC" or "120 V AC" by panel; a panel whose sources do not say, or do not agree, is left out."""
    parts = parts_by_id(document.network)
    panels = [part for part in parts.values() if part.positions]
    neighbours = _neighbours(document) if panels else {}
    found = {panel.id: _voltage(panel, parts, library, neighbours) for panel in panels}
    return {panel: text for panel, text in found.items() if text}


def _neighbours(document: Document) -> dict[str, list[tuple[str, str, str]]]:
    found: dict[str, list[tuple[str, str, str]]] = {}
    for run in document.network.runs:
        if not LIVE.isdisjoint(run.poles):
            found.setdefault(run.a.part, []).append((run.a.port, run.b.part, run.b.port))
            found.setdefault(run.b.part, []).append((run.b.port, run.a.part, run.a.port))
    return found


def _voltage(panel: Part, parts: Mapping[str, Part], library: Library, neighbours: Neighbours) -> str:
    kind = library.get(panel.kind)
    if kind is None:
        return ""
    is_ac = kind.role == "ac_panel"
    ways = {f"p{position.key}" for position in panel.positions}
    wave = [(other, into) for port, other, into in neighbours.get(panel.id, ()) if port not in ways]
    volts: set[Quantity] = set()
    seen = {panel.id}
    while wave:
        here, port = wave.pop()
        part, device = parts.get(here), library.get(parts[here].kind) if here in parts else None
        if here in seen or part is None or device is None:
            continue
        seen.add(here)
        if device.role in SOURCES:
            volts.add(_source_voltage(part, device, port, is_ac))
        if device.role in PASSES:
            wave += [(other, into) for _, other, into in neighbours.get(here, ())]
        elif port == "acout":
            wave += [(other, into) for own, other, into in neighbours.get(here, ()) if own == "acin"]
    return _one_system(volts - {None}, "AC" if is_ac else "DC")


def _one_system(volts: set[Quantity], current: str) -> str:
    """The voltage that all sources say, or the lowest where they are of one system; "" where they disagree."""
    exact = sorted(volt for volt in volts if isinstance(volt, float | int))
    if len(volts) == 1:
        return f"{quantity(next(iter(volts)), 'V')} {current}"
    if not exact or len(exact) < len(volts) or exact[-1] > exact[0] * NOMINAL_SPREAD:
        return ""
    return f"{quantity(exact[0], 'V')} {current}"


def _source_voltage(part: Part, kind: DeviceKind, port: str, is_ac: bool) -> Quantity:
    """What a source says it gives; a converter only where it says so of its output, and is met there."""
    if kind.role != "converter":
        own = (kind.role == "battery") != is_ac  # a generator's starter does not make its panel one of 230 V
        return as_quantity(part.values.get("nominal_v")) if own else None
    return as_quantity(part.values.get("output_v")) if is_ac or port == "out" else None
