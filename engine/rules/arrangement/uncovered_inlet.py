"""Rule uncovered-inlet."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged


@rule(
    "uncovered-inlet",
    title="Shore inlet without a cover",
    books=("e11", "iso13297"),
    basis=(
        Basis("e11", "ABYC E-11, as a boat electrician quotes its label", "The inlet's cover is closed when the cord is off.",
              "secondary"),
        Basis("iso13297", "ISO 13297 (recalled)",
              "The inlet is recessed and capped; a metal one is joined to the protective earth.", "memory"),
    ),
    wordings={
        "no-cover": Wording(
            "requirement",
            "{inlet} has no cover: rain and spray reach its pins.",
            "Use an inlet with a cap that closes by itself.",
        )
    },
    needs="Whether the inlet has a cover.",
)  # fmt: skip
def uncovered_inlet(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Salt on the pins is resistance, and thirty amperes through a resistance is how an inlet burns."""
    for part in boat.network.parts:
        if part.kind.startswith("shore_inlet"):
            key, cover = f"part:{part.id}", part.values.get("cover")
            yield judged("no-cover", (key,), safe=cover is True, hopeless=cover is False, lacks=(f"{key} cover",),
                         values={"inlet": boat.name(part)})  # fmt: skip
