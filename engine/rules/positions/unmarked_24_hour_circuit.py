"""Rule unmarked-24-hour-circuit."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.paths import way_keys
from engine.graph.poles import Node
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, meets, rule
from engine.rules.overcurrent import missing_battery_switch  # the module: a rule stands in its own file only
from engine.rules.positions.switches import BATTERY_SWITCHES, is_battery_switch
from engine.rules.runner import books_of

BY_KIND = frozenset({"bilge_pump", "alarm_bilge", "alarm_gas", "alarm_smoke"})
"""What everybody takes for a 24-hour circuit without a mark."""


@rule(
    "unmarked-24-hour-circuit",
    title="Load that stays live with the battery switches off, and is not marked so",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "What stays live when all is switched off is chosen, marked and told to the "
              "owner.", "practice"),
    ),
    wordings={
        "stays-live": Wording(
            "advice",
            "{part} stays live when every battery switch is off, and is not marked as a 24-hour circuit.",
            "Mark {part} as a 24-hour circuit if that is meant; else feed it behind the battery switch.",
        )
    },
    needs="Which loads are 24-hour circuits. Batteries without any switch are not asked about, and what missing-battery-switch "
    "names under the boat's rulebooks is not told twice.",
)  # fmt: skip
def unmarked_24_hour_circuit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Whoever turns everything off believes that all is dead: before working on the wires, and before leaving for the
    winter. What stays live and nobody knows of burns the one and empties the battery for the other."""
    live = _live_with_switches_off(boat)
    known: dict[str, Node] = {}
    for node in boat.carry_parts(_supplies) if live else ():
        if node in live:
            known.setdefault(node[0], node)
    for part_id, node in known.items():
        if _is_marked(boat.parts[part_id]):
            yield meets("stays-live", f"part:{part_id}")
        elif f"part:{part_id}" not in boat.derive(_told_already):
            yield _unmarked(boat, boat.parts[part_id], node)


def _supplies(boat: Boat) -> tuple[Node, ...]:
    """The positive terminals of the loads."""
    return tuple(node for part in boat.with_role("load_dc") for node in boat.terminals_of(part, "+"))


def _live_with_switches_off(boat: Boat) -> frozenset[Node]:
    """What batteries feed past their battery switches, for those that have one."""
    switched = boat.carry_parts(_at_switches)
    zones = (boat.reached(post, "up to battery switches", is_battery_switch) for post in boat.batteries)
    return frozenset().union(*(zone for zone in zones if not switched.isdisjoint(zone)))


def _at_switches(boat: Boat) -> frozenset[Node]:
    """The terminals of the battery switches."""
    return frozenset(node for node in boat.terminals if boat.parts[node[0]].kind in BATTERY_SWITCHES)


def _is_marked(part: Part) -> bool:
    marked = part.values.get("around_the_clock")
    return marked is True or (marked is None and part.kind in BY_KIND)


def _unmarked(boat: Boat, part: Part, node: Node) -> Outcome:
    values, path = {"part": boat.name(part)}, way_keys(boat.wires, node, boat.batteries)
    return Outcome(verdict="breaks", code="stays-live", subjects=(f"part:{part.id}",), values=values, path=path)


def _told_already(boat: Boat) -> frozenset[str]:
    """What missing-battery-switch says stands ahead of the switch, under the boat's rulebooks."""
    other = missing_battery_switch.missing_battery_switch
    books = [book for book in books_of(boat.network.particulars) if book in other.books]
    outcomes = (outcome for book in books for outcome in other.check(boat, book))
    return frozenset(key for outcome in outcomes if outcome.verdict != "meets" for key in outcome.subjects)
