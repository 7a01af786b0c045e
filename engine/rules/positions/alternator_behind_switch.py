"""Rule alternator-behind-switch."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.graph.boat import Boat
from engine.graph.paths import way_keys
from engine.graph.poles import Node
from engine.graph.positions import Needs, SearchTooLargeError
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, cannot_tell, meets, rule
from engine.rules.positions.switches import OPENS_ALONE, TOO_MANY, all_closed, moving, position

FIELD = "field_disconnect"


@rule(
    "alternator-behind-switch",
    title="Alternator that a switch can leave without a battery",
    books=("any",),
    basis=(
        Basis("any", "published survey reports", "Surveyors look whether an alternator's field is cut together with the battery "
              "switch in its way.", "published"),
        Basis("any", "common practice, no source", "An alternator that loses its battery while it turns destroys its diodes; it is "
              "led to a battery ahead of the switches.", "practice"),
    ),
    wordings={
        "switched-off": Wording(
            "advice",
            "With {position}, {alternator} has no battery left.",
            "Lead {alternator} to a battery or its bus ahead of the switch, or use a switch that opens the field first.",
        )
    },
    needs="How the alternator is wired, and whether a selector in its way has a contact for its field.",
)  # fmt: skip
def alternator_behind_switch(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A guest tidies up and turns the battery switch to off while the engine runs. The alternator has nowhere to put its
    current for a moment: its voltage shoots up, and its diodes and the electronics are gone. Every position of the switches
    is gone through; what a battery's protection does by itself is told by alternator-cut-off."""
    posts = frozenset(boat.batteries)
    for source in boat.sources:
        if source.part.kind == "alternator" and all_closed(boat).joined(source.live, posts, gives=True):
            yield _judge(boat, source.part, source.live, posts)


def _judge(boat: Boat, part: Part, live: Node, posts: frozenset[Node]) -> Outcome:
    """A switch that opens the field first may be turned to off; one of which that is not known may be such a switch."""
    key, surely, perhaps = f"part:{part.id}", _guarding(boat, (True,)), _guarding(boat, (True, None))
    try:
        worst = _cut(boat, live, posts, surely)
        best = worst if worst is None or surely == perhaps else _cut(boat, live, posts, perhaps)
    except SearchTooLargeError:
        return cannot_tell("switched-off", key, lacks=TOO_MANY)
    if worst is None:
        return meets("switched-off", key)
    if best is None:
        unknown = (each for each in worst if each in perhaps - surely)
        return cannot_tell("switched-off", key, lacks=tuple(f"part:{each} {FIELD}" for each in unknown))
    values = {"alternator": boat.name(part), "position": position(boat, best)}
    subjects = (key, *(f"part:{each}" for each in best))
    path = way_keys(boat.wires, live, posts)
    return Outcome(verdict="breaks", code="switched-off", subjects=subjects, values=values, path=path)


def _guarding(boat: Boat, answers: Collection[object]) -> frozenset[str]:
    """Switches whose kind can have a contact for the field, by what is said of it."""
    found = (part for part in boat.with_role("switch") if _can_guard(boat, part))
    return frozenset(part.id for part in found if part.values.get(FIELD) in answers)


def _can_guard(boat: Boat, part: Part) -> bool:
    kind = boat.kind(part)
    return kind is not None and any(value.name == FIELD for value in kind.value)


def _cut(boat: Boat, live: Node, posts: frozenset[Node], guarding: frozenset[str]) -> Needs | None:
    """By switches alone; else by switches together with what protections do, where those alone do not do it."""
    switches = boat.with_role("switch")
    turned = moving(boat, (part for part in switches if part.kind not in OPENS_ALONE), guarding)
    alone = moving(boat, (part for part in switches if part.kind in OPENS_ALONE))
    by_hand = turned.cut(live, posts, gives=True)
    if by_hand is not None or alone.cut(live, posts, gives=True) is not None:
        return by_hand
    return moving(boat, switches, guarding).cut(live, posts, gives=True)
