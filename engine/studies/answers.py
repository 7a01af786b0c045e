"""From the solved circuits back to the boat: what each conductor, load, source and converter has, and what has no answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec
import numpy as np

from engine.graph.boat import Boat, quantity
from engine.graph.poles import Node
from engine.model.quantity import high, low
from engine.studies.circuit import Numbers, across, drawn, feed_current, load_current
from engine.studies.conditions import Case
from engine.studies.converters import Transfer
from engine.studies.elements import Branch, Elements, Load
from engine.studies.gaps import gaps_of
from engine.studies.results import Flow, LoadAnswer, LoadState, Mode, Solution, SupplyAnswer, TransferAnswer
from engine.studies.solver import LIMITED, SHUT, State, spread, valve_current
from engine.studies.system import Half, System, drawn_by, poles_of
from engine.studies.vague import vague_sources
from engine.studies.values import Corner

States = tuple[State, State]


def answer(
    boat: Boat, case: Case, corner: Corner, elements: Elements, system: System, states: States,
    failed: Mapping[Node, tuple[str, float]],
) -> Solution:  # fmt: skip
    """The Solution of a case."""
    nodes = list(system.layout.row)
    volts = poles_of(nodes, system.layout, states)
    supplies = _supplies(system, states)
    home = _homes(system, supplies)
    gone = _transfers(system, states)
    loads: dict[str, LoadAnswer] = {}
    vague = vague_sources(boat, system.layout)
    for load in elements.loads:
        found = _load(load, system, volts, supplies, home)
        if found.state == "dead" and system.layout.island.get(load.a) in vague:
            found = msgspec.structs.replace(found, state="source-unknown")
        loads.setdefault(load.part.id, found)
    return Solution(
        case=case, corner=corner, volts=volts, layout=system.layout, home=home, supplies=supplies, loads=loads,
        flows={(each.key, each.pole): _flow(each, system, volts) for each in elements.branches},
        transfers=gone, islands=system.layout.islands,
        gaps=tuple(gaps_of(boat, elements, system.layout, failed, gone, volts)),
        steps=max(state.steps for state in states), residual_a=max(map(_residual, system.halves, states, system.asked)),
    )  # fmt: skip


def _residual(half: Half, state: State, asked: tuple[Numbers, Numbers]) -> float:
    """The largest sum of currents at any point that is not nought, A."""
    circuit = half.circuit
    branches, feeds, loads, valves = circuit.branches, circuit.feeds, circuit.loads, circuit.valves
    total = spread(circuit.size, branches.b, branches.a, branches.y_s * across(state.volts, branches.a, branches.b))
    total = total + spread(circuit.size, feeds.b, feeds.a, feed_current(feeds, state.volts))
    total = total + spread(circuit.size, valves.b, valves.a, valve_current(circuit, state))
    if len(loads.a):
        total = total - spread(circuit.size, loads.a, loads.b, load_current(loads, state.volts, *asked))
    return float(np.abs(total).max(initial=0.0))


def _flow(branch: Branch, system: System, volts: Mapping[Node, complex]) -> Flow:
    if branch.a not in volts or branch.b not in volts or not system.layout.is_live(branch.a, branch.b):
        return Flow(branch.key, branch.pole, branch.a, branch.b, 0.0, 0.0, 0.0, branch.ohm)
    over = volts[branch.a] - volts[branch.b]
    current = over / branch.ohm.value
    loss = abs(current) ** 2 * branch.ohm.real
    shown = current.real if branch.pole in "+-" else abs(current)
    return Flow(branch.key, branch.pole, branch.a, branch.b, shown, abs(over), loss, branch.ohm)


def _supplies(system: System, states: States) -> dict[str, tuple[SupplyAnswer, ...]]:
    found: dict[str, list[SupplyAnswer]] = {}
    for half, state in zip(system.halves, states, strict=True):
        for each in (*_feeds(half, state), *_valves(half, state)):
            found.setdefault(each.part.id, []).append(each)
    return {part: tuple(answers) for part, answers in found.items()}


def _feeds(half: Half, state: State) -> Iterator[SupplyAnswer]:
    feeds = half.circuit.feeds
    currents, volts = feed_current(feeds, state.volts), across(state.volts, feeds.b, feeds.a)
    for supply, current, over in zip(half.supplies, currents, volts, strict=True):
        power = complex(over * np.conj(current))
        shown = float(abs(current)) * (1 if power.real >= 0 else -1)
        loss = float(abs(current)) ** 2 * supply.ohm.real
        yield SupplyAnswer(
            supply.part, supply.a, supply.b, shown, float(abs(over)), power.real, loss, supply.emf, supply.ohm
        )


def _valves(half: Half, state: State) -> Iterator[SupplyAnswer]:
    valves = half.circuit.valves
    currents, volts = valve_current(half.circuit, state), across(state.volts, valves.b, valves.a)
    for valve, current, over, mode in zip(half.valves, currents.real, volts.real, state.modes, strict=True):
        word: Mode = (
            "passes nothing" if mode == SHUT else "at its current limit" if mode == LIMITED else "holds its voltage"
        )
        loss = float(current) * (valve.emf.real - float(over)) if valve.limit_a is not None and mode != LIMITED else 0.0
        yield SupplyAnswer(
            valve.part, valve.a, valve.b, float(current), float(over), float(current * over), loss, valve.emf, valve.ohm,
            word, valve.limit_a,
        )  # fmt: skip


def _homes(system: System, supplies: Mapping[str, tuple[SupplyAnswer, ...]]) -> dict[int, Node]:
    """For each rail the return of the source that gives it most; diodes are no sources."""
    best: dict[int, tuple[float, Node]] = {}
    for answers in supplies.values():
        for each in answers:
            rail = system.layout.rail[each.b]
            if not each.mode or each.limit_a is not None:
                best[rail] = max(best.get(rail, (-1e99, each.a)), (each.current_a, each.a), key=lambda item: item[0])
    return {rail: node for rail, (_, node) in best.items()}


def _load(
    load: Load, system: System, volts: Mapping[Node, complex], supplies: Mapping[str, tuple[SupplyAnswer, ...]],
    home: Mapping[int, Node],
) -> LoadAnswer:  # fmt: skip
    nominal = low(quantity(load.part, "nominal_v"), 0.0)
    state = _state(load, system, home)
    if state not in ("fed", "at-rest"):
        return LoadAnswer(load.part, load.a, load.b, state, nominal_v=nominal, draw=load.draw)
    over = volts[load.a] - volts[load.b]
    size = over.real if load.a[2] == "+" else abs(over)
    current = _current(load, over)
    source = _source_of(load, system, supplies)
    power = (over * current.conjugate()).real
    return LoadAnswer(
        load.part, load.a, load.b, state, size, abs(current), power,
        source.part.id if source else "", _source_volts(load, source, volts), abs(source.emf.value) if source else 0.0,
        nominal or (high(quantity(source.part, "nominal_v"), 0.0) if source else 0.0), load.draw,
    )  # fmt: skip


def _current(load: Load, over: complex) -> complex:
    if load.draw is None:
        return 0j
    if load.draw.law == "resistance":
        return over * load.draw.y_s
    if not over:
        return 0j
    wide = np.array([over if load.a[2] != "+" else over.real])
    return complex(drawn(wide, np.array([load.draw.current_a]), np.array([load.draw.power_w]))[0])


def _state(load: Load, system: System, home: Mapping[int, Node]) -> LoadState:
    layout = system.layout
    number = layout.island.get(load.a)
    if number is not None and layout.islands[number].reason in ("collapsed", "unsettled"):
        return "collapsed"
    if number is None or layout.islands[number].reason != "live" or layout.rail[load.a] not in home:
        return "dead"
    if not layout.is_live(load.a, load.b):
        return "no-return"
    if load.draw is None:
        return "at-rest"
    return "not-known" if load.draw.amount.lacks else "fed"


def _source_of(load: Load, system: System, supplies: Mapping[str, tuple[SupplyAnswer, ...]]) -> SupplyAnswer | None:
    """The source on the load's own rail that gives most."""
    rail = system.layout.rail
    here = [
        each for answers in supplies.values() for each in answers if rail[each.b] == rail[load.a] and _is_source(each)
    ]
    return max(here, key=lambda each: each.current_a, default=None)


def _is_source(each: SupplyAnswer) -> bool:
    return not each.mode or each.limit_a is not None


def _source_volts(load: Load, source: SupplyAnswer | None, volts: Mapping[Node, complex]) -> float:
    """Voltage at the terminals of the source; for a load between two lines, of the source's two lines."""
    if source is None:
        return 0.0
    if load.a[2] == "L1" and load.b[2] == "L2":
        other = (source.b[0], source.b[1], "L2")
        return abs(volts[source.b] - volts.get(other, volts[source.a]))
    return abs(volts[source.b] - volts[source.a])


def _transfers(system: System, states: States) -> tuple[TransferAnswer, ...]:
    found = []
    for link in system.links:
        given = system.given_w(link, states[link.to_ac].volts)
        transfer: Transfer = link.transfer
        taken = drawn_by(link, given)
        if transfer.at_v:
            half, state = system.halves[link.from_ac].circuit, states[link.from_ac]
            over = across(state.volts, half.loads.a, half.loads.b)[link.load]
            taken = taken / transfer.at_v * abs(over)
        found.append(TransferAnswer(transfer.part, taken.real, given.real, transfer.efficiency))
    return tuple(found)
