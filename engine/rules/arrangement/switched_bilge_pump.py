"""Rule switched-bilge-pump."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule

BATTERY_SWITCHES = frozenset(
    {"battery_switch", "battery_switch_2", "battery_selector", "dual_switch", "remote_battery_switch"}
)


@rule(
    "switched-bilge-pump",
    title="Bilge pump or alarm dead with the battery switches off",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a handbook quotes it",
            "An automatic bilge pump may be fed ahead of the battery switch.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 10133:2012 clause 6 (recalled)",
            "Bilge pumps and alarms may be fed upstream of the switch.",
            "memory",
        ),
    ),
    wordings={
        "dead": Wording(
            "requirement",
            "{part} is dead when the battery switches are off.",
            "Feed it ahead of the battery switch, with a fuse of its own at the battery or its bus.",
        )
    },
    needs="The switch positions of the battery switches; around_the_clock on what must stay live.",
)
def switched_bilge_pump(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The owner turns everything off and goes home. It rains for a week, the stern gland drips, and the pump that would have
    kept the boat afloat is behind the switch."""
    pumps = (each for each in boat.network.parts if each.kind == "bilge_pump")
    covered = any(each.values.get("around_the_clock") is True for each in pumps)
    asked = [part for part in boat.with_role("load_dc") if _must_stay_live(part, covered)]
    if asked:
        fed = _fed_with_switches_off(boat)
        for part in asked:
            dead = not any(node in fed for node in boat.terminals_of(part, "+"))
            yield breaks("dead", f"part:{part.id}", part=boat.name(part)) if dead else meets("dead", f"part:{part.id}")


def _must_stay_live(part: Part, covered: bool) -> bool:
    """Marked so; a bilge pump that is not marked counts unless another pump of the boat is marked to stay live (covered)."""
    marked = part.values.get("around_the_clock")
    if isinstance(marked, bool):
        return marked
    return part.kind in ("bilge_pump", "alarm_bilge") and not covered


def _fed_with_switches_off(boat: Boat) -> set[Node]:
    """What a battery feeds with every battery switch off and every other switch where it feeds most."""
    off = {part.id for part in boat.network.parts if part.kind in BATTERY_SWITCHES}

    def is_open(edge: Edge) -> bool:
        return edge.part is not None and edge.part.id in off and edge.kind == "contact"

    return reach(boat.wires, boat.batteries, is_open)
