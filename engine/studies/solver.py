"""Solves a circuit: one sparse factorisation, chord steps, Newton steps where those are slow. Knows no boat.

The chord step takes every load as the current it draws at the last voltages. Started from the voltages without load it
comes down to the upper of the two solutions that a constant-power load has, and steadily so, because voltages only fall
as currents rise. Where there is no solution the voltages run through zero: the supply collapses.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec
import numpy as np

from engine.studies.circuit import Circuit, Numbers, across, drawn

CHORD_STEPS, MOST_CHORD_STEPS = 8, 30
"""After so many chord steps Newton's take over, unless each chord step still takes off two thirds: it costs a twentieth."""
QUICK = 1 / 3
NEWTON_STEPS = 60
AC_STEPS = 400
MODE_CHANGES = 200
CLOSE = 1e-11
"""Steps end when no voltage (of direct-current chord steps: none across a load) is to move by more than this share of the
largest."""
ROUNDING = 1e-9
"""Newton's steps that no longer shrink and are below this share are the rounding of the numbers."""
MANY_RINGS = 1 / 16
"""Rows that close a ring, as a share of all, above which an order is sought before the factorisation."""
LEAK_S = 1e-9
"""Conductance left across a valve that is shut, so that nothing floats."""
SHUT, OPEN, LIMITED = 0, 1, 2

Outcome = Literal["solved", "collapsed", "unsettled"]
Modes = tuple[int, ...]


class State(msgspec.Struct, frozen=True):
    """A solution: volts of each node (the last row is the reference, 0), what each valve does, how it was reached."""

    volts: Numbers
    modes: Modes
    outcome: Outcome
    steps: int


class Factors:
    """G of a circuit with its valves in given modes, factorised once."""

    def __init__(self, circuit: Circuit, modes: Modes = ()) -> None:
        self.circuit = circuit
        self.modes = modes
        self.injected = _injections(circuit, modes)
        self._solve = factorise(*_conductances(circuit, modes), circuit.size)

    def volts(self, injected: Numbers) -> Numbers:
        """The voltages for injected currents (a vector, or a matrix with a column a case), the reference appended."""
        return _with_reference(self._solve(injected))

    def unloaded(self) -> Numbers:
        """The voltages without load."""
        return self.volts(self.injected)


def factorise(a: Numbers, b: Numbers, y_s: Numbers, size: int) -> Callable[[Numbers], Numbers]:
    """A function that solves G x = r for the conductances y_s between rows a and b; -1 is the reference."""
    if not size:
        return lambda injected: injected
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import splu

    inner = (a >= 0) & (b >= 0)
    one, other, between = size - 1 - a[inner], size - 1 - b[inner], -y_s[inner]
    own, narrow = np.arange(size), np.min_scalar_type(size)  # short numbers are sorted by counting
    rows = np.concatenate((own, one, other), dtype=np.int32, casting="same_kind")
    columns = np.concatenate((own, other, one), dtype=narrow, casting="unsafe")
    values = np.concatenate((_diagonal(a, b, y_s, size)[::-1], between, between))
    by_column = np.argsort(columns, kind="stable")
    starts = np.zeros(size + 1, np.int32)
    np.cumsum(np.bincount(columns), out=starts[1:])
    matrix = csc_matrix((values[by_column], rows[by_column], starts), shape=(size, size))
    options = {
        "SymmetricMode": True,
        "Equil": False,
    }  # narrow panels: a boat is nearly a tree, its factors have no blocks
    order = "NATURAL" if _is_outward(one, other, size) else "MMD_AT_PLUS_A"
    factors = splu(matrix, permc_spec=order, diag_pivot_thresh=0.0, relax=1, panel_size=1, options=options)
    return lambda injected: factors.solve(injected[::-1])[::-1]


def _is_outward(one: Numbers, other: Numbers, size: int) -> bool:
    """Whether rows, taken backwards, nearly all have one neighbour left, as where they are numbered from the source outward:
    in that order hardly anything fills in, and seeking an order costs as much as the factorisation."""
    left = np.bincount(np.minimum(one, other))
    return bool(np.count_nonzero(left > 1) <= MANY_RINGS * size)


def _with_reference(volts: Numbers) -> Numbers:
    return np.concatenate((volts, np.zeros((1, *volts.shape[1:]), volts.dtype)))


def _conductances(circuit: Circuit, modes: Modes) -> tuple[Numbers, Numbers, Numbers]:
    """Everything that conducts, with its ends: (a, b, S)."""
    groups = [(circuit.branches.a, circuit.branches.b, circuit.branches.y_s)]
    groups.append((circuit.feeds.a, circuit.feeds.b, circuit.feeds.y_s))
    if modes:
        valves = circuit.valves
        groups.append((valves.a, valves.b, np.where(np.array(modes) == OPEN, valves.y_s, LEAK_S)))
    a, b, y_s = (np.concatenate(parts) for parts in zip(*groups, strict=True))
    return a, b, y_s


def _diagonal(a: Numbers, b: Numbers, y_s: Numbers, size: int) -> Numbers:
    total = np.zeros(size + 1, y_s.dtype)
    np.add.at(total, a, y_s)
    np.add.at(total, b, y_s)
    return total[:-1]


def _injections(circuit: Circuit, modes: Modes) -> Numbers:
    """Norton currents of the sources into each node, A."""
    feeds, valves = circuit.feeds, circuit.valves
    total = spread(circuit.size, feeds.b, feeds.a, feeds.y_s * feeds.emf_v)
    if modes:
        state = np.array(modes)
        current = np.where(state == OPEN, valves.y_s * valves.emf_v, 0.0)
        limited = state == LIMITED
        current[limited] = valves.limit_a[limited]
        total = total + spread(circuit.size, valves.b, valves.a, current)
    return total


def spread(size: int, into: Numbers, out_of: Numbers, current: Numbers) -> Numbers:
    """Currents that enter nodes and leave others, summed for each node; the reference takes up what is -1."""
    total = np.zeros((size + 1, *current.shape[1:]), current.dtype)
    np.add.at(total, into, current)
    np.subtract.at(total, out_of, current)
    return total[:-1]


class Solver:
    """A circuit that is solved again and again with other loads; factorisations are kept."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self._factors: dict[Modes, Factors] = {}
        self._modes: Modes = (OPEN,) * len(circuit.valves.a)

    def factors(self, modes: Modes) -> Factors:
        """The factorised circuit with its valves so."""
        if modes not in self._factors:
            self._factors[modes] = Factors(self.circuit, modes)
        return self._factors[modes]

    def solve(self, current_a: Numbers | None = None, power_w: Numbers | None = None) -> State:
        """The operating point; loads as in the circuit, or as given. Valves are set so that each is as its voltage asks."""
        loads = self.circuit.loads
        current_a = loads.current_a if current_a is None else current_a
        power_w = loads.power_w if power_w is None else power_w
        seen: set[Modes] = set()
        for _ in range(MODE_CHANGES):
            state = _operating_point(self.factors(self._modes), current_a, power_w)
            if state.outcome != "solved":
                return state
            wanted = self._wanted(state.volts, one_only=self._modes in seen)
            if wanted == self._modes:
                return state
            seen.add(self._modes)
            self._modes = wanted
        return msgspec.structs.replace(state, outcome="unsettled")

    def carry(self, current_a: Numbers | None = None, power_w: Numbers | None = None) -> State:
        """The same as something that can be: collapsed as well where a load that draws its current whatever the voltage
        would drive a direct-current rail below nothing."""
        loads = self.circuit.loads
        state = self.solve(current_a, power_w)
        if state.outcome != "solved" or self.circuit.is_ac:
            return state
        drawing = (loads.current_a if current_a is None else current_a) != 0
        over = across(state.volts, loads.a, loads.b)[drawing]
        return state if (over > 0).all() else msgspec.structs.replace(state, outcome="collapsed")

    def _wanted(self, volts: Numbers, one_only: bool) -> Modes:
        """How the valves should stand at these voltages; one at a time where changing all has led in a circle."""
        if not self._modes:
            return ()
        valves, modes = self.circuit.valves, np.array(self._modes)
        wanted = modes_at(self.circuit, volts, modes)
        if one_only and (wanted != modes).any():
            current = valves.y_s * (valves.emf_v - across(volts, valves.b, valves.a))
            worst = int(np.argmax(np.where(wanted != modes, np.abs(current), -1.0)))
            wanted = np.where(np.arange(len(modes)) == worst, wanted, modes)
        return tuple(int(mode) for mode in wanted)


def modes_at(circuit: Circuit, volts: Numbers, modes: Numbers) -> Numbers:
    """How the valves would stand at these voltages, given how they stand."""
    valves = circuit.valves
    current = valves.y_s * (valves.emf_v - across(volts, valves.b, valves.a))
    tiny = 1e-9
    free = np.where(current < -tiny, SHUT, np.where(current > valves.limit_a * (1 + tiny), LIMITED, OPEN))
    from_shut = np.where(current > tiny, OPEN, SHUT)
    from_limit = np.where(current < valves.limit_a * (1 - tiny), OPEN, LIMITED)
    return np.where(modes == OPEN, free, np.where(modes == SHUT, from_shut, from_limit))


def valve_current(circuit: Circuit, state: State) -> Numbers:
    """What passes each valve, A."""
    valves = circuit.valves
    over = across(state.volts, valves.b, valves.a)
    modes = np.array(state.modes, dtype=int)
    flowing = np.where(modes == LIMITED, valves.limit_a, valves.y_s * (valves.emf_v - over))
    return np.where(modes == SHUT, 0.0, flowing)


def _operating_point(factors: Factors, current_a: Numbers, power_w: Numbers) -> State:
    volts = factors.unloaded()
    if not (np.any(current_a) or np.any(power_w)):
        return State(volts, factors.modes, "solved", 0)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        asked = _Asked(factors, current_a, power_w)
        return _ac_steps(asked, volts) if factors.circuit.is_ac else _dc_steps(asked, volts)


class _Asked:
    """Loads asked of a factorised circuit, with what every step needs of them."""

    def __init__(self, factors: Factors, current_a: Numbers, power_w: Numbers) -> None:
        loads = factors.circuit.loads
        self.factors, self.current_a, self.power_w = factors, current_a, power_w
        self.a, self.b = loads.a, loads.b
        self.power_only = np.flatnonzero(power_w)

    def over(self, volts: Numbers) -> Numbers:
        """The voltage across each load."""
        found: Numbers = volts[self.a] - volts[self.b]
        return found

    def chord(self, over: Numbers) -> Numbers:
        """The voltages with the currents that the loads draw at the voltages `over`."""
        return self.pushed(drawn(over, self.current_a, self.power_w))

    def pushed(self, amps: Numbers) -> Numbers:
        """The voltages with these currents drawn."""
        return self.factors.volts(self.factors.injected - spread(self.factors.circuit.size, self.a, self.b, amps))

    def state(self, volts: Numbers, outcome: Outcome, steps: int) -> State:
        """The end of the steps."""
        return State(volts, self.factors.modes, outcome, steps)


def _dc_steps(asked: _Asked, volts: Numbers) -> State:
    close, moved, over = CLOSE * _largest(volts), np.inf, asked.over(volts)
    for step in range(1, MOST_CHORD_STEPS + 1):
        volts = asked.chord(over)
        new = asked.over(volts)
        last, moved, over = moved, _largest(new - over), new
        if not (over[asked.power_only] > 0).all():
            return asked.state(volts, "collapsed", step)
        if _to_go(moved, last) <= close:
            return asked.state(volts, "solved", step)
        if step >= CHORD_STEPS and moved > QUICK * last:
            break
    return _newton(asked, volts, step)


def _to_go(moved: float, last: float) -> float:
    """How far steps still lead that go on shrinking as the last one did."""
    return moved * moved / (last - moved) if moved < last < np.inf else moved


def _ac_steps(asked: _Asked, volts: Numbers) -> State:
    """Chord steps alone: they come to the upper solution wherever there is one, slowly only close to collapse."""
    close = CLOSE * _largest(volts)
    for step in range(1, AC_STEPS + 1):
        new = asked.chord(asked.over(volts))
        moved = _largest(new - volts)
        if not np.isfinite(moved):
            break
        volts = new
        if moved <= close:
            return asked.state(volts, "solved", step)
    return asked.state(volts, "collapsed", step)


def _largest(values: Numbers) -> float:
    return float(np.abs(values).max(initial=0.0))


def _newton(asked: _Asked, volts: Numbers, so_far: int) -> State:
    """Newton's steps from where the chord steps have come to; DC only."""
    circuit = asked.factors.circuit
    fixed, moved, largest = _conductances(circuit, asked.factors.modes), np.inf, _largest(volts)
    for step in range(so_far + 1, so_far + NEWTON_STEPS + 1):
        over = asked.over(volts)
        slope = asked.power_w / over**2
        sloping = (asked.a, asked.b, -slope)
        a, b, y_s = (np.concatenate(pair) for pair in zip(fixed, sloping, strict=True))
        offset = drawn(over, asked.current_a, asked.power_w) + slope * over
        injected = asked.factors.injected - spread(circuit.size, asked.a, asked.b, offset)
        try:
            new = _with_reference(factorise(a, b, y_s, circuit.size)(injected))
        except RuntimeError:  # singular: just where the two solutions meet and end
            return asked.state(volts, "collapsed", step)
        if not (asked.over(new)[asked.power_only] > 0).all():
            return asked.state(volts, "collapsed", step)
        last, moved, volts = moved, _largest(new - volts), new
        if moved <= CLOSE * largest or last / 2 < moved < ROUNDING * largest:
            return asked.state(volts, "solved", step)
    return asked.state(volts, "collapsed", step)
