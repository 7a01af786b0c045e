"""Rule bare-live-bus."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.flows import UNLIMITED
from engine.graph.paths import reach
from engine.graph.poles import Edge
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, meets, rule
from engine.rules.bounds import judged

SWITCHES = frozenset({"battery_switch", "battery_switch_2", "battery_selector", "dual_switch", "remote_battery_switch"})


@rule(
    "bare-live-bus",
    title="Bare live studs that no fuse protects",
    books=("33cfr183", "e11"),
    basis=(
        Basis("33cfr183", "33 CFR 183.445(b), 2015 edition", "Ungrounded terminals and studs that are always live are protected "
              "by a fuse or breaker, or covered by a boot, cap or shield.", "published"),
        Basis("e11", "common practice, no source", "Live studs are covered.", "practice"),
    ),
    wordings={
        "bare": Wording(
            "requirement",
            "{bus} is live with every battery switch off, no device limits what a short across it draws, and it has no cover.",
            "Cover {bus}, or protect its feed at the battery.",
        )
    },
    needs="Whether each bus bar and terminal block is covered. Those that are dead with the switches off, or protected, pass.",
)  # fmt: skip
def bare_live_bus(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A stud that is always live waits for the dropped washer. Where a fuse is ahead of it, that is a spark; where none is,
    it is the battery's whole current until something melts."""
    live = reach(boat.wires, boat.batteries, _is_off)
    for part in boat.with_role("bus"):
        if (part.id, "+") not in {(node[0], node[2]) for node in live if node[0] == part.id}:
            continue
        kind = boat.kind(part)
        if kind is not None and any(value.name == "cover" for value in kind.value):
            yield _judge(boat, part)


def _is_off(edge: Edge) -> bool:
    return edge.kind == "contact" and edge.part is not None and edge.part.kind in SWITCHES


def _judge(boat: Boat, part: Part) -> Outcome:
    key, cover = f"part:{part.id}", part.values.get("cover")
    if _is_limited(boat, part):
        return meets("bare", key)
    return judged("bare", (key,), safe=cover is True, hopeless=cover is False, lacks=(f"{key} cover",),
                  values={"bus": boat.name(part)})  # fmt: skip


def _is_limited(boat: Boat, part: Part) -> bool:
    """Whether every conductor that can feed it is held by a device or a source that limits itself."""
    fed = [boat.currents.fed_by(part, port.name, "+") for port in boat.ports(part)]
    return all(pair[0].current_a < UNLIMITED for pair in fed if pair is not None)
