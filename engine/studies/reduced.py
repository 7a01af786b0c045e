"""Many operating points of one circuit at once: the network seen from its loads, by one factorisation.

With one unit current through each load as right-hand sides, the circuit shrinks to a matrix between its loads, in which
every case is a column. Knows no boat.
"""

from __future__ import annotations

import msgspec
import numpy as np

from engine.studies.circuit import Numbers, across, drawn
from engine.studies.solver import CLOSE, Factors, Modes, Solver, modes_at

STEPS = 60


class ManyStates(msgspec.Struct, frozen=True):
    """Volts of every node (the last row is the reference), a column a case, and which cases have a solution."""

    volts: Numbers
    solved: Numbers


class Reduced:
    """A circuit with its valves standing in one way, seen from its loads."""

    def __init__(self, factors: Factors) -> None:
        circuit = factors.circuit
        self._factors = factors
        self._open = factors.unloaded()
        loads = circuit.loads
        columns = np.arange(len(loads.a))
        unit = np.zeros((circuit.size + 1, len(columns)), self._open.dtype)
        unit[loads.a, columns] += 1
        unit[loads.b, columns] -= 1
        self._full = factors.volts(unit[:-1])
        self._between = across(self._full, loads.a, loads.b)
        self._open_over = across(self._open, loads.a, loads.b)

    def solve(self, current_a: Numbers, power_w: Numbers) -> tuple[Numbers, Numbers]:
        """(current of each load in each case, which cases came to rest); loads are rows, cases columns."""
        over = np.repeat(self._open_over[:, None], current_a.shape[1], axis=1)
        rest = np.zeros(current_a.shape[1], dtype=bool)
        busy = np.arange(current_a.shape[1])
        with np.errstate(all="ignore"):
            for _ in range(STEPS):
                amps = drawn(over[:, busy], current_a[:, busy], power_w[:, busy])
                new = self._open_over[:, None] - self._between @ amps
                moved = np.abs(new - over[:, busy]).max(axis=0, initial=0.0)
                over[:, busy] = new
                done = moved <= CLOSE * np.abs(new).max(axis=0, initial=1.0)
                rest[busy[done]] = True
                busy = busy[~done & np.isfinite(moved)]
                if not len(busy):
                    break
            rest &= ~self._through_zero(over, current_a, power_w)
            return drawn(over, current_a, power_w), rest

    def _through_zero(self, over: Numbers, current_a: Numbers, power_w: Numbers) -> Numbers:
        if over.dtype.kind == "c":
            return np.zeros(over.shape[1], dtype=bool)
        return np.asarray((((current_a != 0) | (power_w != 0)) & ~(over > 0)).any(axis=0))

    def volts(self, amps: Numbers) -> Numbers:
        """Volts of every node for these load currents."""
        return np.asarray(self._open[:, None] - self._full @ amps)


def solve_many(solver: Solver, current_a: Numbers, power_w: Numbers) -> ManyStates:
    """Every case of one circuit: all at once where its valves stand as in the first, the others one by one."""
    circuit = solver.circuit
    count = current_a.shape[1]
    modes = solver.solve(current_a[:, 0], power_w[:, 0]).modes if len(circuit.valves.a) else ()
    reduced = Reduced(solver.factors(modes))
    amps, solved = reduced.solve(current_a, power_w)
    volts = reduced.volts(np.where(solved, amps, 0.0))
    for case in range(count):
        if not solved[case] or not _stands(solver, modes, volts[:, case]):
            alone = solver.carry(current_a[:, case], power_w[:, case])
            volts[:, case], solved[case] = alone.volts, alone.outcome == "solved"
    volts[:, ~solved] = np.nan
    return ManyStates(volts, solved)


def _stands(solver: Solver, modes: Modes, volts: Numbers) -> bool:
    if not modes:
        return True
    standing = np.array(modes)
    return bool((modes_at(solver.circuit, volts, standing) == standing).all())
