"""Short-circuit current by the printed formulae, for one battery or bank and one loop. The network does it for a whole boat.

Sources and status of the constants are in engine/data/short_circuit_rules.csv. Knows no boat.
"""

from __future__ import annotations

import math

from engine.electrics.sources import Source
from engine.electrics.tables import row_source, table_rows


def rule(name: str) -> tuple[float, Source]:
    """A constant of engine/data/short_circuit_rules.csv with its source."""
    row = next(row for row in table_rows("short_circuit_rules") if row["name"] == name)
    return float(row["value"]), row_source(row)


def loop_current_a(
    emf_v: float, battery_ohm: float, conductors_ohm: float = 0.0, connections_ohm: float = 0.0
) -> float:
    """Isc = E / (Rb + Rc + Rconn); Rc counts both conductors."""
    return emf_v / (battery_ohm + conductors_ohm + connections_ohm)


def bank_ohm(each_ohm: float, series: int, parallel: int) -> float:
    """Internal resistance of a bank: in series they add, parallel strings share."""
    return each_ohm * series / parallel


def by_capacity_a(capacity_ah: float) -> tuple[float, float]:
    """Isc = k C for stationary lead-acid where the internal resistance is unknown: k near 10, always below 20."""
    return capacity_ah * rule("isc_per_ah")[0], capacity_ah * rule("isc_per_ah_most")[0]


def iec61660_a(nominal_v: float, battery_ohm: float, rest_ohm: float) -> tuple[float, float]:
    """Peak and quasi-steady current by IEC 61660-1 as recalled, A: 1.05 Un / (0.9 Rb + R), 0.95 E / (... + 0.1 Rb).

    Another expression for the steady current is in print; neither is confirmed here.
    """
    emf_v = rule("iec61660_voltage")[0] * nominal_v
    ohm = rule("iec61660_resistance")[0] * battery_ohm + rest_ohm
    return emf_v / ohm, rule("iec61660_steady")[0] * emf_v / (ohm + 0.1 * battery_ohm)


def current_after_a(steady_a: float, seconds: float, loop_ohm: float, loop_m: float) -> float:
    """i(t) = Isc (1 - exp(-t R / L)), with about 1 µH for each metre of loop (recalled)."""
    henry = rule("loop_inductance")[0] * 1e-6 * loop_m
    return steady_a * (1 - math.exp(-seconds * loop_ohm / henry)) if henry > 0 else steady_a
