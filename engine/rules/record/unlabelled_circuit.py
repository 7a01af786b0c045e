"""Rule unlabelled-circuit."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Part, Position
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "unlabelled-circuit",
    title="Circuit without a name at its panel",
    books=("any",),
    basis=(
        Basis(
            "any",
            "ABYC E-11 and ISO 13297 (recalled)",
            "Switches, breakers and fuses are marked with their circuit.",
            "memory",
        ),
        Basis("any", "published survey reports", "Unmarked positions are among the usual findings.", "published"),
    ),
    wordings={
        "unlabelled": Wording(
            "requirement",
            "{panel}: way {key} is in use and has no circuit name.",
            "Write the circuit's name on way {key}, on the drawing and on the panel.",
        )
    },
)
def unlabelled_circuit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Smoke below, and the crew look for the breaker. A position without a name costs the minute that matters."""
    for part in boat.with_role("dc_panel", "ac_panel"):
        for position in part.positions:
            if position.state == "used":
                yield _answer(boat, part, position)


def _answer(boat: Boat, part: Part, position: Position) -> Outcome:
    subject = f"position:{part.id}/{position.key}"
    if position.label.strip():
        return meets("unlabelled", subject)
    return breaks("unlabelled", subject, panel=boat.name(part), key=position.key)
