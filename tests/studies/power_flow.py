"""The same network given to power-grid-model, a compiled power-flow library (a test extra; the tests say when it is absent).

It knows symmetrical three-phase networks: one of its phases is our circuit, powers are three times ours, voltages the
root of three. Resistive loads become loads of constant impedance, which it has.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

ROOT3 = math.sqrt(3.0)
HUGE_VA = 1e20
ASYMMETRY = 1e-12
"""Its tolerance for the largest change of a voltage per unit."""


def available() -> bool:
    """Whether the library is installed."""
    try:
        import power_grid_model  # noqa: F401
    except ImportError:
        return False
    return True


def power_flow_volts(circuit: Any) -> np.ndarray[Any, Any]:
    """Phasors of every row of a circuit of one rail with one feed."""
    from power_grid_model import CalculationMethod, LoadGenType, PowerGridModel, initialize_array

    feed = circuit.feeds
    emf, n = float(feed.emf_v[0].real), circuit.size
    nodes = initialize_array("input", "node", n + 1)
    nodes["id"], nodes["u_rated"] = np.arange(n + 1), emf * ROOT3
    series, shunt = _split(circuit)
    pairs = [(n, int(feed.b[0]), complex(feed.y_s[0])), *series]
    lines = initialize_array("input", "line", len(pairs))
    lines["id"] = 10_000 + np.arange(len(pairs))
    lines["from_node"], lines["to_node"] = [a for a, _, _ in pairs], [b for _, b, _ in pairs]
    lines["from_status"] = lines["to_status"] = 1
    lines["r1"], lines["x1"] = [(1 / y).real for _, _, y in pairs], [(1 / y).imag for _, _, y in pairs]
    lines["c1"] = lines["tan1"] = 0.0
    source = initialize_array("input", "source", 1)
    source["id"], source["node"], source["status"], source["u_ref"], source["sk"] = 9_999, n, 1, 1.0, HUGE_VA
    kinds, at, powers = _loads(circuit, shunt, emf, LoadGenType)
    loads = initialize_array("input", "sym_load", len(at))
    loads["id"], loads["node"], loads["status"], loads["type"] = 20_000 + np.arange(len(at)), at, 1, kinds
    loads["p_specified"], loads["q_specified"] = 3 * powers.real, 3 * powers.imag
    model = PowerGridModel({"node": nodes, "line": lines, "source": source, "sym_load": loads})
    got = model.calculate_power_flow(
        symmetric=True,
        error_tolerance=ASYMMETRY,
        max_iterations=200,
        calculation_method=CalculationMethod.newton_raphson,
    )["node"]
    volts = got["u"] / ROOT3 * np.exp(1j * got["u_angle"])
    return np.asarray(volts[:n])


def _split(circuit: Any) -> tuple[list[tuple[int, int, complex]], list[tuple[int, complex]]]:
    series, shunt = [], []
    for a, b, y in zip(circuit.branches.a, circuit.branches.b, circuit.branches.y_s, strict=True):
        if b < 0:
            shunt.append((int(a), complex(y)))
        else:
            series.append((int(a), int(b), complex(y)))
    return series, shunt


def _loads(circuit: Any, shunt: Any, emf: float, kind: Any) -> tuple[list[Any], list[int], np.ndarray[Any, Any]]:
    kinds, at, powers = [], [], []
    for a, y in shunt:
        kinds.append(kind.const_impedance)
        at.append(a)
        powers.append(emf**2 * y.conjugate())
    loads = circuit.loads
    for a, i, s in zip(loads.a, loads.current_a, loads.power_w, strict=True):
        kinds.append(kind.const_power if s else kind.const_current)
        at.append(int(a))
        powers.append(complex(s) if s else emf * complex(i).conjugate())
    return kinds, at, np.array(powers)
