"""Where each shown value comes from: its formula with the numbers put in, and what every number rests on.

trace(boat, solution, key) for "part:p3", "run:w1" or "position:p4/2". Knows no window; whoever shows a value asks here.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.electrics.sources import Source, number_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Part, Run
from engine.studies.energy import anchor_conditions, energy
from engine.studies.energy_words import figures
from engine.studies.estimate import text_of
from engine.studies.fault_trace import short_circuit
from engine.studies.faults import LIVE, FaultLevel, fault_levels
from engine.studies.load_words import load_figures
from engine.studies.loading import allowed
from engine.studies.results import Flow, LoadAnswer, Solution, SupplyAnswer
from engine.studies.values import Figure
from engine.studies.ways import way_between


class Step(msgspec.Struct, frozen=True):
    """One value: what it is, the value with its unit, the formula with its numbers, the sources of those, and the fields
    without which it is at best what is shown."""

    what: str
    value: str
    formula: str = ""
    sources: tuple[Source, ...] = ()
    lacks: tuple[str, ...] = ()


def trace(boat: Boat, solution: Solution, key: str) -> tuple[Step, ...]:
    """Every value that is shown for a part, a run or a panel position, with where it comes from."""
    sort, _, rest = key.partition(":")
    if sort == "run" and rest in boat.runs:
        return (
            *_conductors(boat, solution, key), *_loading(boat, solution, boat.runs[rest]), *_loads(boat, solution, key),
            *_shorted(boat, key),
        )  # fmt: skip
    part_id, _, position = rest.partition("/")
    part = boat.parts.get(part_id)
    if part is None:
        return ()
    if position:
        return (*_conductors(boat, solution, key), *_faults(boat, part, f"p{position}"), *_shorted(boat, key))
    return (
        *_load(boat, solution, part), *_supplies(solution, part), *_transfers(solution, part),
        *_conductors(boat, solution, key), *_poles(boat, solution, part), *_faults(boat, part, ""),
        *_loads(boat, solution, key), *_energy(boat, solution, part), *_shorted(boat, key),
    )  # fmt: skip


def _shorted(boat: Boat, key: str) -> Iterator[Step]:
    return (Step(*each) for each in short_circuit(boat, key))


def volts(value: float) -> str:
    """A voltage as it is shown."""
    return f"{number_text(round(value, 3))} V"


def amps(value: float) -> str:
    """A current as it is shown."""
    return f"{number_text(round(value, 3 if abs(value) < 100 else 1))} A"


def _load(boat: Boat, solution: Solution, part: Part) -> Iterator[Step]:
    answer = solution.loads.get(part.id)
    if answer is None:
        return
    if answer.state in ("dead", "source-unknown", "no-return", "collapsed", "at-rest", "not-known"):
        why = [gap.text for gap in solution.gaps if f"part:{part.id}" in gap.subjects]
        lacks = answer.draw.amount.lacks if answer.draw else ()
        yield Step(tr("State"), tr(STATE_WORDS[answer.state]), " ".join(why), (), lacks)
        return
    yield _current(answer)
    yield from _terminal_volts(boat, solution, answer)


STATE_WORDS = {
    "dead": "without a source",
    "source-unknown": "what its source gives is not known",
    "no-return": "without a return to its source",
    "collapsed": "its supply collapses",
    "at-rest": "at rest",
    "not-known": "its current is not known",
    "fed": "fed",
}


def _current(answer: LoadAnswer) -> Step:
    assert answer.draw is not None
    figure, law = answer.draw.amount, answer.draw.law
    if law == "power":
        over = f"{volts(answer.volts_v)}" + (
            "" if answer.draw.power_factor == 1 else f" / {answer.draw.power_factor:g}"
        )
        formula = f"{figure.formula}; / {over}"
    elif law == "resistance":
        formula = f"{volts(answer.volts_v)} / ({figure.formula})"
    else:
        formula = figure.formula
    return Step(tr("Current"), amps(answer.current_a), formula, figure.sources, figure.lacks)


def _terminal_volts(boat: Boat, solution: Solution, answer: LoadAnswer) -> Iterator[Step]:
    """From the source's EMF to its terminals, along the conductors, to the load."""
    source = next((each for each in solution.supplies.get(answer.source, ()) if _is_source(each)), None)
    if source is None:
        return
    yield from _source_volts(boat, source)
    lost = []
    for start, end in ((source.b, answer.a), (answer.b, source.a)):
        for flow, sense in way_between(solution, start, end):
            lost.append(lost_v(flow, sense))
            yield _lost(boat, flow, sense)
    between = " − ".join(volts(each) for each in (answer.source_v, *lost) if abs(each) >= 5e-4)
    if not _is_ac(answer):
        yield Step(tr("Voltage at its terminals"), volts(answer.volts_v), f"{between} = {volts(answer.volts_v)}")
    else:
        text = tr("as phasors along the way; losses of voltage add with their angles")
        yield Step(tr("Voltage at its terminals"), volts(answer.volts_v), text)
    if answer.nominal_v:
        formula = f"({volts(answer.source_v)} − {volts(answer.volts_v)}) / {number_text(answer.nominal_v)} V"
        shown = f"{volts(answer.drop_v)}, {number_text(round(answer.drop_percent, 2))} %"
        yield Step(tr("Drop from the source"), shown, formula)


def _is_ac(answer: LoadAnswer) -> bool:
    return answer.a[2] != "+"


def _is_source(each: SupplyAnswer) -> bool:
    return not each.mode or each.limit_a is not None


def _source_volts(boat: Boat, source: SupplyAnswer) -> Iterator[Step]:
    name = boat.name(source.part)
    inner = 1000 * source.ohm.real
    yield Step(tr("EMF of {name}").format(name=name), volts(abs(source.emf.value)), *_figure(source.emf))
    yield Step(tr("Internal resistance of {name}").format(name=name), f"{number_text(inner)} mΩ", *_figure(source.ohm))
    formula = f"{volts(abs(source.emf.value))} − {amps(source.current_a)} × {number_text(inner)} mΩ"
    formula = source.mode or formula
    yield Step(tr("Voltage at {name}").format(name=name), volts(source.volts_v), formula)


def _figure(figure: Figure) -> tuple[str, tuple[Source, ...], tuple[str, ...]]:
    return figure.formula, figure.sources, figure.lacks


def lost_v(flow: Flow, sense: int) -> float:
    """What is lost along a conductor passed in one sense, V; negative where the current comes the other way."""
    against = flow.pole in "+-" and flow.current_a * sense < 0
    return -flow.drop_v if against else flow.drop_v


def _lost(boat: Boat, flow: Flow, sense: int) -> Step:
    formula = f"{amps(abs(flow.current_a))} × {number_text(1000 * abs(flow.ohm.value))} mΩ; {flow.ohm.formula}"
    what = tr("Lost in {name}, {pole}").format(name=name_of(boat, flow.key), pole=flow.pole)
    return Step(what, volts(lost_v(flow, sense)), formula, flow.ohm.sources, flow.ohm.lacks)


def name_of(boat: Boat, key: str) -> str:
    """A conductor as a person calls it: "wire 12", "F1 House", "A1.3"."""
    sort, _, rest = key.partition(":")
    if sort == "run":
        return boat.name_run(boat.runs[rest])
    part_id, _, position = rest.partition("/")
    part = boat.parts[part_id]
    return f"{part.designation}.{position}" if position else boat.name(part)


def _conductors(boat: Boat, solution: Solution, key: str) -> Iterator[Step]:
    for flow in (flow for (name, _), flow in solution.flows.items() if name == key):
        over = f"{volts(flow.drop_v)} / {number_text(1000 * abs(flow.ohm.value))} mΩ"
        yield Step(
            tr("Current, {pole}").format(pole=flow.pole), amps(abs(flow.current_a)),
            tr("what its voltage drives through it: {over}").format(over=over),
        )  # fmt: skip
        yield Step(
            tr("Resistance, {pole}").format(pole=flow.pole),
            f"{number_text(1000 * abs(flow.ohm.value))} mΩ",
            *_figure(flow.ohm),
        )
        formula = f"({amps(abs(flow.current_a))})² × {number_text(1000 * flow.ohm.real)} mΩ"
        yield Step(tr("Heat in it, {pole}").format(pole=flow.pole), f"{number_text(round(flow.loss_w, 2))} W", formula)


def _loading(boat: Boat, solution: Solution, run: Run) -> Iterator[Step]:
    may = allowed(boat, run)
    flows = [flow for (key, _), flow in solution.flows.items() if key == f"run:{run.id}"]
    if may.allowed_a is None or not flows:
        yield Step(tr("Allowed current"), "?", may.formula, may.sources, may.lacks)
        return
    most = max(abs(flow.current_a) for flow in flows)
    yield Step(tr("Allowed current"), amps(may.allowed_a), f"{may.formula} ({may.book})", may.sources, may.lacks)
    share = 100 * most / may.allowed_a if may.allowed_a else float("inf")
    yield Step(tr("Loading"), f"{number_text(round(share, 1))} %", f"{amps(most)} / {amps(may.allowed_a)}")


def _supplies(solution: Solution, part: Part) -> Iterator[Step]:
    for each in solution.supplies.get(part.id, ()):
        if _is_source(each):
            yield Step(tr("EMF"), volts(abs(each.emf.value)), *_figure(each.emf))
            yield Step(tr("Internal resistance"), f"{number_text(1000 * each.ohm.real)} mΩ", *_figure(each.ohm))
            word = tr("Gives") if each.current_a >= 0 else tr("Is charged with")
            yield Step(word, amps(abs(each.current_a)), each.mode, *(_figure(each.limit_a)[1:] if each.limit_a else ()))
            yield Step(tr("Voltage at its terminals"), volts(each.volts_v), "EMF − I × R" if not each.mode else "")


def _transfers(solution: Solution, part: Part) -> Iterator[Step]:
    for each in solution.transfers:
        if each.part.id == part.id:
            formula = f"{number_text(round(each.given_w, 1))} W / {each.efficiency.formula}"
            yield Step(tr("Takes"), f"{number_text(round(each.taken_w, 1))} W", formula, each.efficiency.sources)


def _poles(boat: Boat, solution: Solution, part: Part) -> Iterator[Step]:
    """The voltage of each live pole against the return of its source."""
    if part.id in solution.loads or part.id in solution.supplies:
        return
    for port in boat.ports(part):
        for pole in port.poles:
            found = solution.volts_at((part.id, port.name, pole)) if pole in LIVE else None
            if found is not None:
                what = tr("Voltage at {port} {pole}").format(port=port.name, pole=pole)
                yield Step(what, volts(found), tr("the network solved: the currents into every point sum to nought"))


def _faults(boat: Boat, part: Part, port: str) -> Iterator[Step]:
    levels = fault_levels(boat)
    for node, level in levels.items():
        if node[0] == part.id and (not port or node[1] == port) and node[1] != "bus":
            yield from _fault(boat, level)


def _fault(boat: Boat, level: FaultLevel) -> Iterator[Step]:
    where = f"{level.node[1]} {level.node[2]}"
    most = amps(level.most_a) if level.most_a < float("inf") else tr("no upper bound")
    yield Step(tr("Largest short circuit at {where}").format(where=where), most, level.formula, (), level.lacks)
    for share in level.shares[:4]:
        what = tr("… of it from {name}").format(name=boat.name(boat.parts[share.part]))
        if share.known:
            yield Step(what, amps(share.current_a), tr("behind {formula}").format(formula=share.formula), share.sources)
        else:
            yield Step(what, tr("any current"), tr("what it has inside is not known"), (), level.lacks)
    formula = tr("the weakest source alone, hot conductors: {ohm} mΩ in all").format(
        ohm=number_text(1000 * level.least_ohm)
    )
    least = level.least_a > 0
    yield Step(
        tr("Smallest short circuit at {where}").format(where=where),
        amps(level.least_a) if least else tr("no lower bound"), formula if least else "", (), level.lacks,
    )  # fmt: skip


def _loads(boat: Boat, solution: Solution, key: str) -> Iterator[Step]:
    """The load figures: of a load its own; of a wire, panel, bus or source what is taken there."""
    for what, value in load_figures(boat, solution.case, key):
        yield Step(what, text_of(value, 2), value.formula, value.sources, value.lacks)


def _energy(boat: Boat, solution: Solution, part: Part) -> Iterator[Step]:
    """The day of a battery's bank: in the case's condition, else in those at anchor."""
    if boat.role(part) != "battery":
        return
    named = [each for each in boat.network.conditions if each.name == solution.case.name]
    for condition in named or anchor_conditions(boat):
        for day in energy(boat, condition):
            if part.id in {each.id for each in day.batteries}:
                for what, value, figure in figures(boat, day):
                    yield Step(what, value, figure.formula, figure.sources, figure.lacks)
