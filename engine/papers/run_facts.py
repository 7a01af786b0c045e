"""What the run list says of each run: where it goes, what it is, what holds it, what it carries and loses.

Facts only: numbers are floats, ranges are pairs, unknown is None. Knows no layout.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from engine.electrics.sources import ElectricsError, Rulebook
from engine.electrics.voltage_drop import voltage_drop
from engine.graph.boat import Boat
from engine.graph.poles import SPLIT_LINES, Node
from engine.graph.sources import to_neutral
from engine.messages import tr
from engine.model.network import End, Part, Run
from engine.model.quantity import Quantity, as_quantity, high, low
from engine.papers import figures
from engine.papers.supply import supply_of, voltages
from engine.rules.api import Book
from engine.rules.bounds import EARTHS, allowed, one_way_m, rulebook, size_of

DROP_BOOKS: tuple[Rulebook, ...] = ("e11", "iso13297")
"""Rulebooks with a formula for the drop, in the order of preference."""
RETURNS = frozenset({"-", "N"})
NOT_FUSED = "–"
STARTING = "starting circuit"
NONE = "none"


class RunFacts(msgspec.Struct, frozen=True):
    """One run, ready for a list. Currents in A, lengths in m one way, drop in % of the system voltage."""

    run: Run
    start: str
    end: str
    area_mm2: float | None
    length_m: Quantity
    protection: str
    rating_a: Quantity
    """The sum of what its devices and limited sources let through."""
    is_limited: bool
    """False where nothing holds it by design (returns, earths, starting circuits) or nothing does."""
    carries: bool
    """False for earths and bonds, which carry nothing in service."""
    design_a: Quantity
    allowed_a: Quantity
    drop_percent: Quantity
    labels: tuple[str, str]
    """What is written on the wire at its two ends."""


def run_facts(boat: Boat, books: Sequence[Book]) -> tuple[RunFacts, ...]:
    """Every run in the order of its wire number."""
    volts = voltages(boat)
    found = [_facts(boat, run, books, volts) for run in boat.network.runs]
    return tuple(sorted(found, key=lambda facts: number_key(facts.run.number)))


def number_key(number: str) -> tuple[int, int, str]:
    """Plain numbers by their value, others after them, unnumbered runs last."""
    digits = "".join(character for character in number if character.isdecimal())
    if not number:
        return (2, 0, "")
    return (0, int(number), "") if number.isdecimal() else (1, int(digits or 0), number)


def _facts(boat: Boat, run: Run, books: Sequence[Book], volts: Mapping[Node, Quantity]) -> RunFacts:
    start, end = (end_name(boat, one) for one in (run.a, run.b))
    live = [pole for pole in run.poles if pole in figures.LIVE]
    protection, rating = _protection(boat, run, live)
    design = _design(boat, run)
    return RunFacts(
        run=run,
        start=start,
        end=end,
        area_mm2=figures.area_mm2(run.size),
        length_m=_length(run),
        protection=protection,
        rating_a=rating,
        is_limited=protection not in (NOT_FUSED, tr(STARTING)) and not protection.startswith(tr(NONE)),
        carries=any(pole not in EARTHS for pole in run.poles),
        design_a=design,
        allowed_a=_allowed(boat, run, books),
        drop_percent=_drop(run, design, books, volts),
        labels=_labels(run, start, end),
    )


def end_name(boat: Boat, end: End) -> str:
    """ "A1:3" for way 3 of panel A1, "F5:b" for a port of a part."""
    part: Part | None = boat.parts.get(end.part)
    name = (part.designation or part.label or part.id) if part else figures.UNKNOWN
    is_way = part is not None and any(end.port == f"p{position.key}" for position in part.positions)
    return f"{name}:{end.port.removeprefix('p') if is_way else end.port}"


def _labels(run: Run, start: str, end: str) -> tuple[str, str]:
    """Number, this end, other end: read at either end of the wire."""
    number = run.number or figures.UNKNOWN
    return (f"{number}  {start} / {end}", f"{number}  {end} / {start}")


def _length(run: Run) -> Quantity:
    bound = one_way_m(run)
    if bound.most == float("inf"):
        return None
    return bound.least if bound.least == bound.most else (bound.least, bound.most)


def _protection(boat: Boat, run: Run, live: Sequence[str]) -> tuple[str, Quantity]:
    """The devices (and self-limiting sources) that hold what can be pushed into the run, and their sum."""
    if not live:
        return NOT_FUSED, None
    held = boat.held_fitted.get((run.id, live[0]))
    if held is None or not held.worst.by:
        return (tr("not fed") if held is not None else figures.UNKNOWN), None
    names = [_key_name(boat, key) for key, _ in held.worst.by]
    device, origin = _at_an_end(boat, run)
    at_end = tr("{device} at its end").format(device=_name(device)) if device else ""
    if held.worst.current_a < float("inf"):
        added = device is not None and _name(device) not in names
        return " + ".join(names) + (f"; {at_end}" if added else ""), held.worst.current_a
    if run.cranking:
        return tr(STARTING), None
    before = supply_of(boat, (run.a.part, run.a.port, live[0])).device
    if before is not None and boat.rating_of(before) is None:
        return _key_name(boat, before.key), None
    if device is not None and any(key == f"part:{origin}" for key, _ in held.worst.by):
        return at_end, as_quantity(device.values.get("rating_a"))
    return f"{tr(NONE)}: {', '.join(names)}" + (f"; {at_end}" if at_end else ""), None


def _at_an_end(boat: Boat, run: Run) -> tuple[Part | None, str]:
    """The fuse or breaker that the run lands on, and the id of the part at its other end."""
    for end, other in ((run.a, run.b), (run.b, run.a)):
        part = boat.parts.get(end.part)
        if part is not None and boat.role(part) == "protection":
            return part, other.part
    return None, ""


def _name(part: Part) -> str:
    return part.designation or part.label or part.id


def _key_name(boat: Boat, key: str) -> str:
    part_id, _, position = key.partition(":")[2].partition("/")
    part = boat.parts.get(part_id)
    name = (part.designation or part.label) if part else part_id
    return tr("{panel} way {key}").format(panel=name, key=position) if position else name


def _design(boat: Boat, run: Run) -> Quantity:
    demands = [boat.demand[run.id, pole] for pole in run.poles if (run.id, pole) in boat.demand]
    if not demands or any(demand.unknown or demand.most_a == float("inf") for demand in demands):
        return None
    worst = max(demands, key=lambda demand: demand.most_a)
    return worst.most_a if worst.least_a == worst.most_a else (worst.least_a, worst.most_a)


def _allowed(boat: Boat, run: Run, books: Sequence[Book]) -> Quantity:
    """The least that any of the rulebooks allows, between its worst and its best; unknown without a size."""
    poles = [pole for pole in run.poles if pole not in EARTHS]
    if not poles or not books or size_of(run, poles[0]) is None:
        return None
    found = [allowed(boat, run, poles[0], rulebook(book)) for book in books]
    least, most = min(each.least_a for each in found), min(each.most_a for each in found)
    return least if least == most else (least, most)


def _drop(run: Run, design: Quantity, books: Sequence[Book], volts: Mapping[Node, Quantity]) -> Quantity:
    """The drop in this run alone: over both its conductors where it has both, else over the one."""
    carrying = [pole for pole in run.poles if pole not in EARTHS]
    book = next((book for book in DROP_BOOKS if book in books), None)
    length, system = _length(run), volts.get((run.a.part, run.a.port, carrying[0])) if carrying else None
    size = size_of(run, carrying[0]) if carrying else None
    if len(SPLIT_LINES.intersection(run.poles)) == 1:
        system = to_neutral(system)
    if design is None or length is None or system is None or size is None or book is None:
        return None
    ways = 2.0 if any(pole in RETURNS for pole in carrying) and len(carrying) > 1 else 1.0
    try:
        least = voltage_drop(size, low(design), ways * low(length), high(system), book).drop_percent
        most = voltage_drop(size, high(design), ways * high(length), low(system), book).drop_percent
    except ElectricsError:
        return None
    return least if abs(most - least) < 1e-9 else (least, most)
