"""Rule pump-cut-by-protection."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.cutting import Cuts
from engine.graph.paths import way_keys
from engine.graph.poles import Node
from engine.graph.positions import Needs
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, meets, rule
from engine.rules.positions.switches import OPENS_ALONE, all_closed, moving

ALARMS = frozenset({"alarm_bilge", "alarm_gas", "alarm_smoke"})


@rule(
    "pump-cut-by-protection",
    title="Bilge pump or alarm that a protection can switch off",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "Bilge pumps and alarms are fed ahead of what disconnects a low battery.",
              "practice"),
    ),
    wordings={
        "low-voltage": Wording(
            "requirement",
            "When {device} opens on low voltage, {part} is dead.",
            "Feed {part} ahead of {device}, with a fuse of its own at the battery or its bus.",
        ),
        "opens-alone": Wording(
            "advice",
            "When {device} opens, which it does by itself, {part} is dead.",
            "Feed {part} from a battery that does not disconnect itself, or by way of diodes from two batteries.",
        ),
    },
    needs="How pumps and alarms are fed, and what opens by itself.",
)  # fmt: skip
def pump_cut_by_protection(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A disconnect that guards the battery opens when it runs low: just after the bilge pump has run all night. It saves
    the battery and sinks the boat."""
    marked = any(
        part.values.get("around_the_clock") is True for part in boat.network.parts if part.kind == "bilge_pump"
    )
    asked = [part for part in boat.with_role("load_dc") if _must_live(part, marked)]
    cuts = moving(boat, (part for part in boat.network.parts if part.kind in OPENS_ALONE)) if asked else None
    for part in asked:
        if cuts is not None:
            yield from _judge(boat, part, cuts)


def _must_live(part: Part, another_is_marked: bool) -> bool:
    """Alarms, and the pumps that are marked to stay live; where none is marked, every pump that is not said not to."""
    marked = part.values.get("around_the_clock")
    if part.kind in ALARMS:
        return marked is not False
    if part.kind != "bilge_pump":
        return False
    return marked if isinstance(marked, bool) else not another_is_marked


def _judge(boat: Boat, part: Part, cuts: Cuts) -> Iterator[Outcome]:
    posts = frozenset(boat.batteries)
    for node in boat.terminals_of(part, "+"):
        if all_closed(boat).joined(node, posts):
            needs = cuts.cut(node, posts)  # two positions each, one of them open: the search cannot grow too large
            yield meets("low-voltage", f"part:{part.id}") if needs is None else _dead(boat, part, node, needs)


def _dead(boat: Boat, part: Part, node: Node, needs: Needs) -> Outcome:
    devices = [boat.parts[each] for each in needs]
    values = {"part": boat.name(part), "device": " and ".join(boat.name(each) for each in devices)}
    on_low_voltage = all(each.kind == "low_voltage_disconnect" for each in devices)
    return Outcome(
        verdict="breaks",
        code="low-voltage" if on_low_voltage else "opens-alone",
        subjects=(f"part:{part.id}", *(f"part:{each.id}" for each in devices)),
        values=values,
        path=way_keys(boat.wires, node, boat.batteries),
    )
