"""Has every circuit of a panel a device of its own?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import Turn, of_each

BASIS = (
    Basis("e11", "ABYC E-11", "Each ungrounded branch conductor is protected where it joins the panel, unless the panel's main "
          "device already protects it.", "memory"),
    Basis("iso13297", "common practice, no source", "Each circuit of a panel has a device of its own.", "practice"),
)  # fmt: skip


def _panels(boat: Boat, book: Book) -> Mapping[str, Part]:
    return {panel.id: panel for panel in boat.with_role("dc_panel", "ac_panel")}


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.parts_at(turn.runs)


@rule(
    "circuit-without-device",
    title="Way of a panel without a device",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "no-own-device": Wording(
            severity="advice",
            sentence="{way} has neither fuse nor breaker of its own: a fault in it takes down all that shares the device "
            "before it.",
            remedy="Fit a fuse or breaker for this circuit.",
        )
    },
    needs="The device of each way of a panel.",
)
@of_each(_panels, _touched)
def circuit_without_device(boat: Boat, book: Book, panel: Part) -> Iterator[Outcome]:
    """Even where the device at the head of the panel protects a thin enough share of the wiring, a circuit without one of
    its own cannot be isolated, and a fault in it darkens the whole panel. Whether its conductor is protected at all is
    asked by other checks."""
    for position in panel.positions:
        if boat.runs_at.get((panel.id, f"p{position.key}")):
            answer = meets if position.device in ("breaker", "fuse") else breaks
            name = f"{boat.name(panel)} way {position.key} {position.label}".strip()
            yield answer("no-own-device", f"position:{panel.id}/{position.key}", way=name)
