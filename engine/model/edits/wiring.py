"""Runs from port to port: connecting, splitting one for an in-line device, joining two when it goes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from engine.model.colours import core_colours
from engine.model.document import Document
from engine.model.edits.fields import set_position
from engine.model.edits.placing import delete, new_part_id, place_part
from engine.model.edits.records import (
    EditRefused,
    changed,
    part_of,
    run_of,
    sheet_of,
    with_network,
    with_run,
    with_sheet,
)
from engine.model.kind import Kind
from engine.model.network import AC_LINES, POLES, End, Run
from engine.model.numbering import next_wire_number
from engine.model.quantity import Quantity, high, low
from engine.model.sheets import Point, Rotation, Route, Sheet

DIFFERING: dict[str, Any] = {
    "size": "",
    "pe_size": "",
    "insulation_c": None,
    "stranded": None,
    "tinned": None,
    "cover": None,
    "length_basis": None,
    "bundled": None,
}
"""What a joined run says where its two pieces differ: unknown."""


def new_run_id(document: Document) -> str:
    """The id that the next run will have."""
    return f"w{document.next_id}"


def shared_poles(a: Iterable[str], b: Iterable[str]) -> tuple[str, ...]:
    """The poles both ports take, in the order +, -, L, L1, L2, N, PE, BOND; a single line is fed from the first of two."""
    one, other = frozenset(a), frozenset(b)
    both = one & other
    for single, split in ((one, other), (other, one)):
        if "L" in single and "L1" in split and not both & AC_LINES:
            both |= {"L1"}
    return tuple(pole for pole in POLES if pole in both)


def connect(
    document: Document,
    a: End,
    b: End,
    poles: Iterable[str],
    sheet_id: str = "",
    bends: tuple[Point, ...] = (),
    **fields: Any,
) -> Document:
    """A new run between two ports with the next wire number and the usual colours; size and sheath stay unknown.

    Refuses a run from a port to itself and one that carries no pole. A spare way that is connected becomes used.
    """
    part_of(document, a.part), part_of(document, b.part)
    carried = tuple(poles)
    if a == b:
        raise EditRefused("same-port", {"port": a.port})
    if not carried:
        raise EditRefused("no-common-pole", _names(document, a, b))
    told = {
        "number": next_wire_number(document.network),
        "colours": core_colours(carried, document.network.particulars),
    }
    run = Run(id=new_run_id(document), a=a, b=b, poles=carried, **{**told, **fields})
    made = with_network(document, runs=(*document.network.runs, run))
    made = changed(made, next_id=document.next_id + 1)
    made = set_route(made, sheet_id, run.id, bends) if bends else made
    return _used(_used(made, a), b)


def _names(document: Document, a: End, b: End) -> dict[str, object]:
    return {
        "a": part_of(document, a.part).designation,
        "b": part_of(document, b.part).designation,
        "a_port": a.port,
        "b_port": b.port,
    }


def _used(document: Document, end: End) -> Document:
    """A way of a panel that gets a run is in use."""
    for position in part_of(document, end.part).positions:
        if f"p{position.key}" == end.port and position.state == "spare":
            return set_position(document, end.part, position.key, state="used")
    return document


def reconnect(document: Document, run_id: str, which: Literal["a", "b"], end: End) -> Document:
    """One end of a run on another port; its bends no longer fit and go. Refuses both ends on one port."""
    part_of(document, end.part)
    run = run_of(document, run_id)
    if end == (run.b if which == "a" else run.a):
        raise EditRefused("same-port", {"port": end.port})
    made = with_run(document, run_id, lambda run: changed(run, **{which: end}))
    return made if made is document else _used(_unrouted(made, frozenset({run_id})), end)


def _unrouted(document: Document, runs: frozenset[str]) -> Document:
    def bare(sheet: Sheet) -> Sheet:
        return changed(sheet, routes=tuple(route for route in sheet.routes if route.run not in runs))

    return changed(document, sheets=tuple(bare(sheet) for sheet in document.sheets))


def set_route(document: Document, sheet_id: str, run_id: str, bends: tuple[Point, ...]) -> Document:
    """Leads a run by these bends on a sheet; no bends: led automatically."""
    run_of(document, run_id)
    if run_id not in {route.run for route in sheet_of(document, sheet_id).routes}:
        added = (Route(run=run_id, bends=bends),) if bends else ()
        return with_sheet(document, sheet_id, lambda sheet: changed(sheet, routes=(*sheet.routes, *added)))

    def led(sheet: Sheet) -> Sheet:
        routes = (changed(route, bends=bends) if route.run == run_id else route for route in sheet.routes)
        return changed(sheet, routes=tuple(route for route in routes if route.bends))

    return with_sheet(document, sheet_id, led)


def _takes(port: Iterable[str], carried: Iterable[str]) -> bool:
    """Whether an in-line device takes a pole of a run; a single line takes one of the split lines, never both."""
    lines = AC_LINES.intersection(carried)
    taken = shared_poles(port, carried) if len(lines) == 1 else frozenset(port).intersection(carried)
    return bool(taken)


def insert_inline(
    document: Document, run_id: str, kind: Kind, sheet_id: str, x_mm: float, y_mm: float, *, rotation: Rotation = 0
) -> Document:
    """A new in-line device in a run, which becomes two: the first piece keeps its id and number.

    Refuses a kind that is not in-line or takes none of the run's poles. How the length divides is not known: each piece
    may be anything up to the whole.
    """
    run = run_of(document, run_id)
    ports = {port.name: port.poles for port in kind.port}
    if len(kind.inline) != 2:
        raise EditRefused("not-inline", {"kind": kind.id})
    if not _takes(ports.get(kind.inline[0], ()), run.poles):
        raise EditRefused("wrong-poles", {"kind": kind.id, "number": run.number})
    part_id = new_part_id(document)
    made = place_part(document, kind, sheet_id, x_mm, y_mm, rotation=rotation)
    first, second = (End(part=part_id, port=port) for port in kind.inline)
    made = with_run(made, run_id, lambda run: _piece(run, b=first))
    rest = _piece(run, id=new_run_id(made), a=second, number=next_wire_number(made.network))
    made = with_network(made, runs=(*made.network.runs, rest))
    return _unrouted(changed(made, next_id=made.next_id + 1), frozenset({run_id}))


def _piece(run: Run, **fields: Any) -> Run:
    evidence = {name: told for name, told in run.evidence.items() if name != "length_m"}
    length = None if run.length_m is None else (0.0, high(run.length_m))
    return changed(run, length_m=length, evidence=evidence, **fields)


def remove_inline(document: Document, part_id: str, inline: tuple[str, ...]) -> Document:
    """An in-line device gone and its two runs joined; what they do not agree on becomes unknown.

    Refuses a device that does not have exactly one run on each side with the same poles.
    """
    first, second = _sides(document, part_id, inline)
    joined = _joined(first, second, _far(first, part_id), _far(second, part_id))
    others = (run for run in document.network.runs if run is not second)
    runs = tuple(joined if run is first else run for run in others)
    made = _unrouted(with_network(document, runs=runs), frozenset({first.id, second.id}))
    return delete(made, {f"part:{part_id}"})


def _sides(document: Document, part_id: str, inline: tuple[str, ...]) -> tuple[Run, Run]:
    """The one run on each side of an in-line device; they come from different ports, with the same poles."""
    at = [[run for run in document.network.runs if End(part=part_id, port=port) in (run.a, run.b)] for port in inline]
    if [len(runs) for runs in at] == [1, 1] and at[0] != at[1]:
        (first,), (second,) = at
        if set(first.poles) == set(second.poles) and _far(first, part_id) != _far(second, part_id):
            return first, second
    raise EditRefused("cannot-join", {"designation": part_of(document, part_id).designation})


def _far(run: Run, part_id: str) -> End:
    return run.b if run.a.part == part_id else run.a


def _joined(first: Run, second: Run, a: End, b: End) -> Run:
    differing = {name: left for name, left in DIFFERING.items() if getattr(first, name) != getattr(second, name)}
    evidence = {name: told for name, told in first.evidence.items() if second.evidence.get(name) == told}
    colours = dict(zip(second.poles, second.colours, strict=False))
    agreed = tuple(c if colours.get(p) == c else "" for p, c in zip(first.poles, first.colours, strict=False))
    return changed(
        first,
        a=a,
        b=b,
        colours=agreed,
        length_m=_sum(first.length_m, second.length_m),
        route=tuple(dict.fromkeys((*first.route, *second.route))),
        cranking=first.cranking and second.cranking,
        evidence=evidence,
        **differing,
    )


def _sum(a: Quantity, b: Quantity) -> Quantity:
    if a is None or b is None:
        return None
    total = (low(a) + low(b), high(a) + high(b))
    return total[0] if total[0] == total[1] else total
