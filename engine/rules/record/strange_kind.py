"""Rule strange-kind."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "strange-kind",
    title="Part of a kind the library does not know",
    books=("any",),
    basis=(Basis("any", "this program", "What is not known cannot be checked, and that must be said.", "practice"),),
    wordings={
        "unknown-kind": Wording(
            "requirement",
            "{part} is of the kind “{kind}”, which is not in the library: nothing about it is checked.",
            "Replace it by a known kind, or add the device file.",
        )
    },
)
def strange_kind(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A part without a device file has no inside: current neither passes nor stops there. Every answer about what lies
    beyond it would be a guess."""
    for part in boat.network.parts:
        if boat.kind(part) is None:
            yield breaks("unknown-kind", f"part:{part.id}", part=boat.name(part), kind=part.kind)
        else:
            yield meets("unknown-kind", f"part:{part.id}")
