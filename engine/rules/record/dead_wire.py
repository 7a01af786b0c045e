"""Rule dead-wire."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.graph.listed import web_of
from engine.graph.paths import reach
from engine.graph.poles import Node, is_core_of
from engine.model.network import AC_LINES, Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import Turn, every_run, fed_islands, of_each

LIVE = frozenset({"+"}) | AC_LINES
PASSES_ON = frozenset({"bus", "protection", "switch", "dc_panel", "ac_panel"})
"""Roles of parts that use nothing themselves: a wire that ends there must lead on."""


def _touched(turn: Turn, book: Book) -> Collection[str] | None:
    if not turn.same(fed_islands):
        return None
    return turn.runs_about | turn.differing(_leads) | turn.runs_on(turn.parts_elsewhere)


@rule(
    "dead-wire",
    title="Live wire that leads nowhere",
    books=("any",),
    basis=(
        Basis(
            "any",
            "published survey reports",
            "Abandoned wires are left live and are found chafed or bare.",
            "published",
        ),
    ),
    wordings={
        "leads-nowhere": Wording(
            "advice",
            "{run} is live but ends at {part}, where nothing uses it.",
            "Take {run} out, or cut it free at its source, cap and label both ends.",
        )
    },
    needs="Both ends of each run.",
)
@of_each(every_run, _touched)
def dead_wire(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """A wire left behind by a refit still carries what its source gives. Its free end rubs through, falls into the bilge or
    is taken for something else by the next hand."""
    live = _leads(boat).get(run.id)
    if live is not None and boat.islands.get(live.start) in fed_islands(boat):
        yield _answer(boat, run, live.nowhere)


def _leads(boat: Boat) -> Mapping[str, _Live]:
    """Run id -> its first live core."""
    return boat.carry_by_run("live runs", lambda run: _live(boat, run))


def _answer(boat: Boat, run: Run, nowhere: Node | None) -> Outcome:
    if nowhere is None or _is_prepared(boat, run):
        return meets("leads-nowhere", f"run:{run.id}")
    part = boat.parts[nowhere[0]]
    return breaks("leads-nowhere", f"run:{run.id}", f"part:{part.id}", run=boat.name_run(run), part=boat.name(part))


class _Live(msgspec.Struct, frozen=True):
    """A live core of a run: where it starts, and at which of its ends it leads nowhere."""

    start: Node
    nowhere: Node | None


def _live(boat: Boat, run: Run) -> _Live | None:
    pole = next((pole for pole in run.poles if pole in LIVE), None)
    if pole is None:
        return None
    ends = boat.core_ends(run, pole)
    return _Live(ends[0], next((node for node in ends if _is_end(boat, node, run)), None))


def _is_end(boat: Boat, node: Node, run: Run) -> bool:
    """Nothing stands on the node or on the studs joined to it: no other run, no device, no load, no source."""
    part = boat.parts.get(node[0])
    if part is None or boat.role(part) not in PASSES_ON:
        return False
    web = web_of(boat.graph)
    if any(not is_core_of(edge, run) and edge.kind != "through" for _, edge in web[node]):
        return False
    joined = reach(boat.wires, [node], lambda edge: edge.kind != "through")
    return all(is_core_of(edge, run) or edge.kind == "through" for each in joined for _, edge in web[each])


def _is_prepared(boat: Boat, run: Run) -> bool:
    """A prepared way of a panel is meant to lead nowhere yet."""
    for end in (run.a, run.b):
        position = boat.position(boat.parts[end.part], end.port.removeprefix("p")) if end.part in boat.parts else None
        if position is not None and position.state == "prepared":
            return True
    return False
