"""The whole boat as two circuits, DC and AC, joined by its converters; solved together. Knows matrices and elements, no
drawing.

What a converter draws follows from what it gives: the circuits are solved in turn until no power moves any more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import msgspec
import numpy as np

from engine.graph.poles import Node
from engine.model.network import AC_POLES
from engine.studies.circuit import Circuit, Numbers, circuit
from engine.studies.converters import Transfer
from engine.studies.elements import Branch, Elements, Load
from engine.studies.island import Layout
from engine.studies.reduced import ManyStates, solve_many
from engine.studies.solver import Outcome, Solver, State
from engine.studies.supplies import Supply, Valve
from engine.studies.values import assumed

SWEEPS = 60
SETTLED = 1e-11


class Link(msgspec.Struct, frozen=True):
    """A converter between the circuits: column `feed` or `valve` gives, load column `load` draws."""

    transfer: Transfer
    from_ac: bool
    to_ac: bool
    load: int
    given: int


class Half(msgspec.Struct, frozen=True):
    """One of the two circuits with what its columns are."""

    circuit: Circuit
    supplies: tuple[Supply, ...]
    valves: tuple[Valve, ...]
    loads: tuple[Load, ...]
    resistive: tuple[Load, ...]
    load_islands: Numbers
    """Island number of each column of the loads."""


class System:
    """The live islands of a case, ready to be solved."""

    def __init__(self, elements: Elements, layout: Layout) -> None:
        self.layout = layout
        self._working = [each for each in elements.transfers if _works(each, layout)]
        self.halves = tuple(self._half(elements, ac) for ac in (False, True))
        self.solvers = tuple(Solver(half.circuit) for half in self.halves)
        self.links = tuple(self._links())
        self.asked = [(half.circuit.loads.current_a.copy(), half.circuit.loads.power_w.copy()) for half in self.halves]

    def solve(self) -> tuple[State, State]:
        """The operating point of both circuits; an outcome other than "solved" is that of the circuit that has it."""
        asked = self.asked
        states: tuple[State, State]
        for _ in range(SWEEPS):
            dc, ac = (solver.carry(*loads) for solver, loads in zip(self.solvers, asked, strict=True))
            states = (dc, ac)
            if dc.outcome != "solved" or ac.outcome != "solved" or not self._carry_over(states, asked):
                return states
        return _unsettled(states[0]), _unsettled(states[1])

    def _carry_over(self, states: tuple[State, State], asked: Sequence[tuple[Numbers, Numbers]]) -> bool:
        """Put what each converter draws into the loads; whether any has changed."""
        changed = False
        for link in self.links:
            changed |= self._carry_one(link, states[link.to_ac].volts, asked)
        return changed

    def _carry_one(self, link: Link, volts: Numbers, asked: Sequence[tuple[Numbers, Numbers]]) -> bool:
        power_w = drawn_by(link, self.given_w(link, volts))
        current_a, powers_w = asked[link.from_ac]
        at_v = link.transfer.at_v
        place, value = (current_a, power_w / at_v) if at_v else (powers_w, power_w)
        value = value if link.from_ac else value.real
        changed = abs(value - place[link.load]) > SETTLED * (1 + abs(value))
        place[link.load] = value
        return bool(changed)

    def given_w(self, link: Link, volts: Numbers) -> complex:
        """What a converter gives, W (complex for AC), at the voltages of the circuit it feeds; none where current would
        flow back into it."""
        half, k = self.halves[link.to_ac].circuit, link.given
        ends = half.feeds if link.transfer.supply is not None else half.valves
        over = volts[ends.b[k]] - volts[ends.a[k]]
        amps = ends.y_s[k] * (ends.emf_v[k] - over)
        if link.transfer.supply is None:
            amps = min(max(amps, 0.0), half.valves.limit_a[k])
        power = complex(over * np.conj(amps))
        return power if power.real > 0 else 0j

    def solve_many(self, asked: list[tuple[Numbers, Numbers]]) -> tuple[ManyStates, ManyStates]:
        """Many cases that differ in their loads alone: a row a load, a column a case."""
        states: tuple[ManyStates, ManyStates]
        for _ in range(SWEEPS):
            dc, ac = (solve_many(solver, *loads) for solver, loads in zip(self.solvers, asked, strict=True))
            states = (dc, ac)
            if not self._carry_over_many(states, asked):
                break
        return states

    def _carry_over_many(self, states: tuple[ManyStates, ManyStates], asked: list[tuple[Numbers, Numbers]]) -> bool:
        changed = False
        for link in self.links:
            for case in np.flatnonzero(states[link.to_ac].solved):
                column = [(current[:, case], power[:, case]) for current, power in asked]
                changed |= self._carry_one(link, states[link.to_ac].volts[:, case], column)
        return changed

    def _half(self, elements: Elements, ac: bool) -> Half:
        here = self._in_half(ac)
        supplies = [each for each in elements.supplies if here(each.a, each.b)]
        supplies += [each.supply for each in self._working if each.supply and here(each.supply.b)]
        valves = [each for each in elements.valves if here(each.a, each.b)]
        for each in self._working:
            valves += [valve for valve in (each.source, *each.outlets) if valve and here(valve.a, valve.b)]
        live = [load for load in elements.loads if load.draw and here(load.a, load.b)]
        drawing = [load for load in live if load.draw and load.draw.law != "resistance"]
        resistive = [load for load in live if load.draw and load.draw.law == "resistance"]
        inputs = [each for each in self._working if here(each.a)]
        branches = [branch for branch in elements.branches if here(branch.a, branch.b)]
        numbers = circuit(
            self.layout.size[ac], ac=ac,
            branches=[*self._branches(branches, ac), *self._resistances(resistive, ac)],
            loads=[*self._draws(drawing, ac), *((*self._rows(each.a, each.b), 0.0, 0.0) for each in inputs)],
            feeds=[*self._feeds(supplies, ac)], valves=[*self._valves(valves)],
        )  # fmt: skip
        at = [self.layout.island[node] for node in (*(load.a for load in drawing), *(each.a for each in inputs))]
        return Half(
            numbers, tuple(supplies), tuple(valves), tuple(drawing), tuple(resistive), np.array(at, dtype=np.intp)
        )

    def _rows(self, a: Node, b: Node) -> tuple[int, int]:
        return self.layout.row[a], self.layout.row[b]

    def _branches(self, branches: list[Branch], ac: bool) -> Iterator[tuple[int, int, complex]]:
        return ((*self._rows(each.a, each.b), 1 / _in(each.ohm.value, ac)) for each in branches)

    def _resistances(self, loads: list[Load], ac: bool) -> Iterator[tuple[int, int, complex]]:
        return ((*self._rows(each.a, each.b), _in(each.draw.y_s, ac)) for each in loads if each.draw)

    def _draws(self, loads: list[Load], ac: bool) -> Iterator[tuple[int, int, complex, complex]]:
        for each in loads:
            assert each.draw is not None
            yield *self._rows(each.a, each.b), _in(each.draw.current_a, ac), _in(each.draw.power_w, ac)

    def _feeds(self, supplies: list[Supply], ac: bool) -> Iterator[tuple[int, int, complex, complex]]:
        for each in supplies:
            yield *self._rows(each.a, each.b), 1 / _in(_least(each.ohm.value), ac), _in(each.emf.value, ac)

    def _valves(self, valves: list[Valve]) -> Iterator[tuple[int, int, float, float, float]]:
        for each in valves:
            limit = each.limit_a.real if each.limit_a else math.inf
            yield *self._rows(each.a, each.b), 1 / _least(each.ohm.value).real, each.emf.real, limit

    def _in_half(self, ac: bool) -> Callable[..., bool]:
        layout = self.layout
        return lambda *nodes: layout.is_live(*nodes) and layout.islands[layout.island[nodes[0]]].ac == ac

    def _links(self) -> list[Link]:
        links = []
        counts = [len(half.loads) for half in self.halves]
        for transfer in self._working:
            from_ac = transfer.a[2] in AC_POLES
            to_ac = transfer.output[2] in AC_POLES
            columns: Sequence[Supply | Valve] = (
                self.halves[to_ac].supplies if transfer.supply else self.halves[to_ac].valves
            )
            output = transfer.supply or transfer.source
            given = next((n for n, each in enumerate(columns) if each is output), None)
            if given is not None:
                links.append(Link(transfer, from_ac, to_ac, counts[from_ac], given))
            counts[from_ac] += 1
        return links


def _works(transfer: Transfer, layout: Layout) -> bool:
    output = transfer.supply or transfer.source
    return output is not None and layout.is_live(transfer.a, transfer.b) and layout.is_live(output.a, output.b)


def _unsettled(state: State) -> State:
    outcome: Outcome = "unsettled"
    return msgspec.structs.replace(state, outcome=outcome)


def _in(value: complex, ac: bool) -> complex:
    return value if ac else float(value.real)


def _least(ohm: complex) -> complex:
    return ohm if abs(ohm) > 0 else 1e-6


def drawn_by(link: Link, given_w: complex) -> complex:
    """What a converter draws for what it gives, W; into AC with the power factor of such devices, a transformer's as it is."""
    real = given_w.real / link.transfer.efficiency.real
    if not link.from_ac:
        return real
    if link.to_ac:
        return complex(real, given_w.imag)
    factor, _ = assumed("power_factor", "middle", "high")
    return complex(real, real * math.sqrt(1 / factor**2 - 1))


def poles_of(nodes: Sequence[Node], layout: Layout, states: tuple[State, State]) -> dict[Node, complex]:
    """The voltage of each live pole against the reference of its island."""
    return {
        node: complex(states[layout.islands[layout.island[node]].ac].volts[layout.row[node]])
        for node in nodes
        if layout.row.get(node, -2) != -2
    }
