"""What a battery is to the network: EMF by chemistry and state of charge, internal resistance, from the drawing or from
the tables, with bounds for what nobody has said. Knows no graph.
"""

from __future__ import annotations

from itertools import pairwise

import msgspec

from engine.electrics.sources import number_text
from engine.electrics.tables import Row, row_source, table_rows
from engine.graph.boat import Boat, quantity
from engine.model.network import Part
from engine.model.quantity import above_nothing, high, low
from engine.studies.values import Corner, Figure, assumed, field_source, pick, shown

CRANKING_V_PER_CELL, RESTED_V_PER_CELL = 1.2, 2.1
"""Cold cranking amperes are held at 1.2 V a cell from 2.1 V: (12.6 - 7.2) / CCA is the resistance at -18 °C."""
CELL_V = {"LiFePO4": 3.2}
LEAD_CELL_V = 2.0


class Cell(msgspec.Struct, frozen=True):
    """A battery as the network sees it: EMF, V, and internal resistance, ohm."""

    emf: Figure
    resistance: Figure


def battery(boat: Boat, part: Part, charge: float | None, corner: Corner, *, weak: bool = False) -> Cell:
    """EMF and internal resistance of a battery or bank. `charge`: its state of charge, 0 to 1; None where not known.

    `weak` counts the internal resistance as that of an old, cold, half-charged battery.
    """
    emf = _emf(boat, part, charge, corner)
    resistance = _resistance(boat, part, emf, corner)
    if weak:
        factor, source = assumed("weak_battery", corner, "low")
        formula = f"{number_text(factor)} × ({resistance.formula})"
        resistance = msgspec.structs.replace(
            resistance, value=resistance.value * factor, formula=formula, sources=(*resistance.sources, source)
        )
    return Cell(emf, resistance)


def _emf(boat: Boat, part: Part, charge: float | None, corner: Corner) -> Figure:
    nominal = above_nothing(quantity(part, "nominal_v"))
    if nominal is None:
        return Figure(0.0, "V", "?", (), (f"part:{part.id} nominal_v",))
    chemistry = part.values.get("chemistry")
    rows = [row for row in table_rows("battery_rest_voltage") if row["chemistry"] == chemistry]
    if not rows:
        value = pick(nominal, corner, "high")
        return Figure(value, "V", f"nominal {shown(nominal, value)} V: its chemistry is not known")
    cells = _cells(str(chemistry), pick(nominal, corner, "high"))
    charge = _charge(part, charge, corner)
    rest_v = _rest_voltage(rows, 100 * charge, corner)
    value = rest_v * cells / int(rows[0]["cells"])
    left = f"{number_text(rest_v)} V at {number_text(100 * charge)} % charge"
    formula = f"{left} × {cells} / {rows[0]['cells']} cells = {number_text(value)} V"
    return Figure(value, "V", formula, (row_source(rows[-1]), field_source(boat, part, "chemistry")))


def _cells(chemistry: str, nominal_v: float) -> int:
    return max(1, round(nominal_v / CELL_V.get(chemistry, LEAD_CELL_V)))


def _charge(part: Part, charge: float | None, corner: Corner) -> float:
    """The state of charge: as the condition says, as the part says, else between the lowest in usual use and full."""
    if charge is not None:
        return min(max(charge, 0.0), 1.0)
    stated = quantity(part, "charge_pct")
    if stated is None:
        row = _row(part)
        stated = (float(row["usable_low_pct"]) if row else 50.0, 100.0)
    return pick(stated, corner, "high") / 100


def _rest_voltage(rows: list[Row], charge_pct: float, corner: Corner) -> float:
    column = {"best": "high_v", "middle": "middle_v", "worst": "low_v"}[corner]
    points = [(float(row["charge_pct"]), float(row[column])) for row in rows]
    if charge_pct <= points[0][0]:
        return points[0][1]
    for (low_pct, low_v), (high_pct, high_v) in pairwise(points):
        if charge_pct <= high_pct:
            return low_v + (charge_pct - low_pct) / (high_pct - low_pct) * (high_v - low_v)
    return points[-1][1]


def _row(part: Part) -> Row | None:
    rows = table_rows("battery_resistance")
    return next((row for row in rows if row["chemistry"] == part.values.get("chemistry")), None)


def _resistance(boat: Boat, part: Part, emf: Figure, corner: Corner) -> Figure:
    """From the drawing; else from its maker's short-circuit current; else by capacity; else from cold cranking amperes."""
    stated = above_nothing(quantity(part, "internal_mohm"))
    if stated is not None:
        value = pick(stated, corner, "low")
        return Figure(value / 1000, "ohm", f"{shown(stated, value)} mΩ", (field_source(boat, part, "internal_mohm"),))
    short = quantity(part, "short_circuit_a")
    if short is not None and low(short) > 0 and emf.real > 0:
        current = pick(short, corner, "high")
        formula = f"{number_text(emf.real)} V / {shown(short, current)} A short-circuit current by its maker"
        return Figure(emf.real / current, "ohm", formula, (field_source(boat, part, "short_circuit_a"),))
    return _by_capacity(boat, part, corner) or _by_cranking(boat, part, corner) or _unknown(part)


def _by_capacity(boat: Boat, part: Part, corner: Corner) -> Figure | None:
    row, capacity, nominal = _row(part), quantity(part, "capacity_ah"), above_nothing(quantity(part, "nominal_v"))
    if row is None or capacity is None or nominal is None or low(capacity) <= 0:
        return None
    column = {"best": "low_mohm_ah", "middle": "middle_mohm_ah", "worst": "high_mohm_ah"}[corner]
    ah, per_ah = pick(capacity, corner, "high"), float(row[column])
    scale = high(nominal) / float(row["per_v"])
    value = per_ah / ah * scale / 1000
    formula = f"{number_text(per_ah)} mΩ·Ah / {shown(capacity, ah)} Ah × {number_text(scale)} = {number_text(1000 * value)} mΩ"
    return Figure(value, "ohm", formula, (row_source(row), field_source(boat, part, "capacity_ah")))


def _by_cranking(boat: Boat, part: Part, corner: Corner) -> Figure | None:
    cranking, nominal = quantity(part, "cca_a"), above_nothing(quantity(part, "nominal_v"))
    if cranking is None or nominal is None or low(cranking) <= 0:
        return None
    cells = _cells("lead", high(nominal))
    current = pick(cranking, corner, "high")
    value = cells * (RESTED_V_PER_CELL - CRANKING_V_PER_CELL) / current
    share, warm = (0.5, " / 2, warm") if corner == "best" else (1.0, ", cold")
    formula = f"{number_text(cells * 0.9)} V / {shown(cranking, current)} A cold cranking{warm}"
    row = next(row for row in table_rows("batteries") if row["topic"] == "dynamic resistance estimate")
    source = row_source(row) if row["status"] in ("secondary", "memory") else None
    sources = (field_source(boat, part, "cca_a"), *((source,) if source else ()))
    return Figure(value * share, "ohm", formula, sources)


def _unknown(part: Part) -> Figure:
    fields = ("internal_mohm", "capacity_ah")
    return Figure(0.0, "ohm", "not known, taken as none", (), tuple(f"part:{part.id} {field}" for field in fields))
