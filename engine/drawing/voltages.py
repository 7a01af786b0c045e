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
Neighbours = Mapping[str, list[tuple[str, str]]]


def panel_voltages(document: Document, library: Library) -> dict[str, str]:
    """ "12 V DC" or "120 V AC" by panel; a panel whose sources do not say, or do not agree, is left out."""
    parts = parts_by_id(document.network)
    panels = [part for part in parts.values() if part.positions]
    neighbours = _neighbours(document) if panels else {}
    found = {panel.id: _voltage(panel, parts, library, neighbours) for panel in panels}
    return {panel: text for panel, text in found.items() if text}


def _neighbours(document: Document) -> dict[str, list[tuple[str, str]]]:
    """For each part (own port, part at the other end) over the runs with a live pole."""
    found: dict[str, list[tuple[str, str]]] = {}
    for run in document.network.runs:
        if not LIVE.isdisjoint(run.poles):
            found.setdefault(run.a.part, []).append((run.a.port, run.b.part))
            found.setdefault(run.b.part, []).append((run.b.port, run.a.part))
    return found


def _voltage(panel: Part, parts: Mapping[str, Part], library: Library, neighbours: Neighbours) -> str:
    kind = library.get(panel.kind)
    if kind is None:
        return ""
    is_ac = kind.role == "ac_panel"
    ways = {f"p{position.key}" for position in panel.positions}
    wave = [other for port, other in neighbours.get(panel.id, ()) if port not in ways]
    volts: set[Quantity] = set()
    seen = {panel.id}
    while wave:
        here = wave.pop()
        part, device = parts.get(here), library.get(parts[here].kind) if here in parts else None
        if here in seen or part is None or device is None:
            continue
        seen.add(here)
        if device.role in SOURCES:
            volts.add(_source_voltage(part, device, is_ac))
        elif device.role in PASSES:
            wave += [other for _, other in neighbours.get(here, ())]
    volts.discard(None)
    return f"{quantity(volts.pop(), 'V')} {'AC' if is_ac else 'DC'}" if len(volts) == 1 else ""


def _source_voltage(part: Part, kind: DeviceKind, is_ac: bool) -> Quantity:
    """What a source says it gives; a converter only where it says so of its output."""
    name = "output_v" if kind.role == "converter" and is_ac else "nominal_v"
    if kind.role == "converter" and not is_ac:
        return None
    return as_quantity(part.values.get(name))
