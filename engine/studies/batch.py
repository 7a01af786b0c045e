"""Many conditions of one boat at once. Conditions that differ in their loads alone share one factorisation; what differs in
switches, sources or resistances is solved in a group of its own. Knows no matrix.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.network import AC_POLES
from engine.studies.circuit import Numbers
from engine.studies.conditions import Case, duty_of, is_charging
from engine.studies.draws import Draw, draw
from engine.studies.elements import elements_of
from engine.studies.island import lay_out
from engine.studies.network import solve_case
from engine.studies.reduced import ManyStates
from engine.studies.results import Solution
from engine.studies.system import System
from engine.studies.values import Corner


class _Group(msgspec.Struct, frozen=True):
    cases: tuple[int, ...]
    system: System
    states: tuple[ManyStates, ManyStates]


class Batch:
    """The voltages of a boat in many cases; a full Solution of one of them is worked out when it is asked for."""

    def __init__(self, boat: Boat, cases: Sequence[Case], corner: Corner, groups: Sequence[_Group]) -> None:
        self.cases = tuple(cases)
        self._boat = boat
        self._corner: Corner = corner
        self._groups = groups

    def between(self, a: Node, b: Node) -> Numbers:
        """Voltage between two poles in every case, V (AC: RMS); nan where they are not in one live island or the supply
        collapses."""
        found = np.full(len(self.cases), np.nan)
        for group in self._groups:
            layout = group.system.layout
            if layout.is_live(a, b):
                ac = layout.islands[layout.island[a]].ac
                volts = group.states[ac].volts
                over = volts[layout.row[a]] - volts[layout.row[b]]
                found[list(group.cases)] = np.abs(over) if ac else over
        return found

    @property
    def solved(self) -> Numbers:
        """Which cases have a solution everywhere."""
        found = np.zeros(len(self.cases), dtype=bool)
        for group in self._groups:
            found[list(group.cases)] = group.states[0].solved & group.states[1].solved
        return found

    def solution(self, case: int) -> Solution:
        """One case in full."""
        return solve_case(self._boat, self.cases[case], self._corner)


def solve_cases(boat: Boat, cases: Iterable[Case], corner: Corner = "middle") -> Batch:
    """Every case at one corner."""
    listed = list(cases)
    draws = _Draws(boat, corner)
    alike: dict[object, list[int]] = {}
    for number, case in enumerate(listed):
        alike.setdefault(_likeness(boat, case, draws), []).append(number)
    groups = [_group(boat, [listed[n] for n in numbers], numbers, corner, draws) for numbers in alike.values()]
    return Batch(boat, listed, corner, groups)


LOADS = ("load_dc", "load_ac", "outlet_ac", "starter", "meter", "protection", "switch")
FROM_SOURCES = ("converter", "ac_source", "transformer")


class _Draws:
    """Draws of loads, each worked out once for the same part at the same duty."""

    def __init__(self, boat: Boat, corner: Corner) -> None:
        self._boat = boat
        self._corner: Corner = corner
        self._known: dict[tuple[str, float, bool, bool], Draw | None] = {}
        parts = boat.network.parts
        self.sources = [part for part in parts if is_charging(boat, part) or boat.role(part) in FROM_SOURCES]
        self.loads = [
            (part.id, link.a[1] in AC_POLES)
            for part in parts
            for link in (boat.links(part) if boat.role(part) in LOADS else ())
            if link.kind == "load"
        ]

    def of(self, part_id: str, case: Case, ac: bool) -> Draw | None:
        """What a load draws in a case."""
        part = self._boat.parts[part_id]
        key = (part_id, duty_of(self._boat, part, case), part_id in case.starting, ac)
        if key not in self._known:
            self._known[key] = draw(self._boat, part, case, self._corner, ac=ac)
        return self._known[key]


def _likeness(boat: Boat, case: Case, draws: _Draws) -> object:
    """What two cases must have in common to share a factorisation."""
    sources = tuple(duty_of(boat, part, case) for part in draws.sources)
    resistive = tuple(
        (part, found.amount.value)
        for part, ac in draws.loads
        if (found := draws.of(part, case, ac)) is not None and found.law == "resistance"
    )
    switches = None if case.switches is None else tuple(sorted(case.switches.items()))
    return switches, sources, resistive, tuple(sorted(case.charge.items()))


def _group(boat: Boat, cases: list[Case], numbers: list[int], corner: Corner, draws: _Draws) -> _Group:
    """The elements are those of the first case, with every load that works in any of them."""
    first = cases[0]
    working = {part for part, ac in draws.loads if any(draws.of(part, case, ac) for case in cases)}
    shown = {**first.duty, **{part: 1.0 for part in working if draws.of(part, first, False) is None}}
    elements = elements_of(boat, msgspec.structs.replace(first, duty=shown), corner)
    system = System(elements, lay_out(elements))
    asked = [_asked(system, ac, cases, draws) for ac in (False, True)]
    return _Group(tuple(numbers), system, system.solve_many(asked))


def _asked(system: System, ac: bool, cases: list[Case], draws: _Draws) -> tuple[Numbers, Numbers]:
    """The loads of one circuit: a row a load, a column a case; the rows of converters are filled in later."""
    half = system.halves[ac]
    rows = len(half.circuit.loads.a)
    kind = half.circuit.loads.current_a.dtype
    current_a, power_w = np.zeros((rows, len(cases)), kind), np.zeros((rows, len(cases)), kind)
    for row, load in enumerate(half.loads):
        for column, case in enumerate(cases):
            found = draws.of(load.part.id, case, ac)
            if found is not None and found.law != "resistance":
                current_a[row, column] = found.current_a if ac else found.current_a.real
                power_w[row, column] = found.power_w if ac else found.power_w.real
    return current_a, power_w
