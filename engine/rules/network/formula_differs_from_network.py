"""Rule formula-differs-from-network."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Shown, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import Bound, rulebook
from engine.rules.drops import Drop, drop_along, limit_of, runs_of
from engine.rules.ways import Way, ways
from engine.studies.corners import at_end, ranged_fields
from engine.studies.network import bounds
from engine.studies.results import Solution

BASIS = (
    Basis("e11", "ABYC E-11, voltage drop formula", "The drop by E = K I L / CM; no other way is named.", "secondary"),
    Basis("iso13297", "ISO 13297, voltage drop formula", "The drop by E = 0.0164 I L / S; no other way is named.", "secondary"),
)  # fmt: skip


@rule(
    "formula-differs-from-network",
    title="Voltage drop on which formula and network disagree",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "network-breaks": Wording(
            "advice",
            "{part} meets {limit} % by the standard's formula ({formula} %), but solved in the condition {condition} its "
            "conductors lose {network} % from {source}; {all} % with fuses and contacts.",
            "Run a thicker size where the load needs its voltage: warm conductors lose more than the formula counts.",
        ),
        "network-meets": Wording(
            "advice",
            "{part} breaks {limit} % by the standard's formula ({formula} %), though solved in every condition its conductors "
            "lose at most {network} % from {source}; {all} % with fuses and contacts.",
            "The formula is what the standard asks; follow it, or state the case in a deviation.",
        ),
    },
    needs="Operating conditions, and everything that the drop needs.",
    slow=True,
)
def formula_differs_from_network(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The standard's formula knows one resistivity, and takes every load at its full current. The network is solved in each
    operating condition, with warm conductors and with loads that draw more as their voltage falls; what fuses and contacts
    lose, which the formula leaves out, is told beside. Where the two come to different verdicts the engineer should know it,
    whichever way he then decides. A difference is told only where it stands at the best and at the worst of what is not
    known."""
    if not boat.network.conditions:
        return
    lost = boat.derive(_lost)
    for number, way in enumerate(boat.derive(ways)):
        if way.out and way.back and number in lost:
            yield from _compare(boat, way, rulebook(book), lost[number])


def _compare(boat: Boat, way: Way, book: Rulebook, lost: tuple[Lost, ...]) -> Iterator[Outcome]:
    formula, (limit, lacks) = drop_along(way, book), limit_of(way)
    meets_it, breaks_it = formula.percent.most <= limit, formula.percent.least > limit
    if lacks or not (meets_it or breaks_it):
        return
    worst = max(lost, key=lambda each: each.conductors.least if meets_it else each.conductors.most)
    code = "network-breaks" if meets_it else "network-meets"
    if _differs(meets_it, lost, limit):
        yield _answer(boat, code, way, worst, formula, limit)
    elif not _may_differ(boat, way, meets_it, limit):
        yield meets("network-breaks", f"part:{way.part.id}")
    else:
        keys = (f"part:{way.part.id}", f"part:{way.source.id}", *runs_of((way,)))
        yield cannot_tell(
            code, f"part:{way.part.id}", lacks=ranged_fields(boat, keys), **_told(boat, way, worst, formula, limit)
        )


def _differs(meets_formula: bool, lost: Iterable[Lost], limit: float) -> bool:
    """Whether the network surely comes to another verdict than the formula."""
    if meets_formula:
        return max(each.conductors.least for each in lost) > limit
    return max(each.conductors.most for each in lost) <= limit


def _may_differ(boat: Boat, way: Way, meets_formula: bool, limit: float) -> bool:
    """Whether it does with every range of the record at the end that leaves the loads the least voltage, or the most."""
    other = at_end(boat, "least" if meets_formula else "most", "voltage")
    if other is boat:
        return False
    again = ((each, other.derive(_lost).get(at)) for at, each in enumerate(other.derive(ways)))
    return any(lost and each.part.id == way.part.id and _differs(meets_formula, lost, limit) for each, lost in again)


def _answer(boat: Boat, code: str, way: Way, lost: Lost, formula: Drop, limit: float) -> Outcome:
    subjects = (f"part:{way.part.id}", *dict.fromkeys(runs_of((way,))))
    return breaks(code, *subjects, **_told(boat, way, lost, formula, limit))


def _told(boat: Boat, way: Way, lost: Lost, formula: Drop, limit: float) -> dict[str, Shown]:
    return {
        "part": boat.name(way.part), "source": boat.name(way.source), "network": lost.conductors.text,
        "all": lost.all.text, "formula": formula.percent.text, "limit": limit, "condition": lost.condition,
    }  # fmt: skip


class Lost(msgspec.Struct, frozen=True):
    """What a way loses in the network solved in one condition, % of the nominal voltage: in its conductors, and in all."""

    condition: str
    conductors: Bound
    all: Bound


def _lost(boat: Boat) -> Mapping[int, tuple[Lost, ...]]:
    """By the number of each way what it loses in each condition in which it is live."""
    found: dict[int, list[Lost]] = {}
    for condition in boat.network.conditions:
        solutions = bounds(boat, condition)
        for number, way in enumerate(boat.derive(ways)):
            nominal = way.battery.values.get("nominal_v")
            if isinstance(nominal, float) and nominal > 0 and way.out and way.back and _reaches(solutions, way):
                inside = [100 * _in_conductors(solution, way) / nominal for solution in solutions]
                every = [100 * _between_ends(solution, way) / nominal for solution in solutions]
                told = Lost(condition.name, Bound(min(inside), max(inside)), Bound(min(every), max(every)))
                found.setdefault(number, []).append(told)
    return {number: tuple(listed) for number, listed in found.items()}


def _reaches(solutions: Iterable[Solution], way: Way) -> bool:
    nodes = {node for step in (*way.out, *(way.back or ())) for node in (step.start, step.end)}
    return all(nodes <= solution.volts.keys() for solution in solutions)


def _in_conductors(solution: Solution, way: Way) -> float:
    """The volts lost in the runs alone, which is what the formula counts."""
    steps = [step for step in (*way.out, *(way.back or ())) if step.edge.run is not None]
    return sum(abs(solution.volts[step.start] - solution.volts[step.end]) for step in steps)


def _between_ends(solution: Solution, way: Way) -> float:
    """The volts lost out and back, fuses, switches and contacts included."""
    assert way.back is not None
    out, back = (way.out[-1].start, way.back[-1].start), (way.out[0].end, way.back[0].end)
    home, away = ((solution.volts[a] - solution.volts[b]).real for a, b in (out, back))
    return float(home - away)
