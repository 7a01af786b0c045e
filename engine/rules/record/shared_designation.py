"""Rule shared-designation."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.messages import enumerated
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "shared-designation",
    title="Designation given twice, or missing",
    books=("any",),
    basis=(Basis("any", "IEC 81346-1 (recalled)", "A reference designation names one object only.", "memory"),),
    wordings={
        "twice": Wording(
            "requirement",
            "{designation} names {count} parts: {parts}.",
            "Give each of them a designation of its own.",
        ),
        "missing": Wording(
            "advice", "A {kind} has no designation.", "Give it one; the papers and labels call it by that."
        ),
    },
)
def shared_designation(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Papers, labels and the owner's index call each part by its designation. Two of one name, and someone pulls the wrong
    fuse while a hand is on the other circuit."""
    named: dict[str, list[Part]] = defaultdict(list)
    for part in boat.network.parts:
        if part.designation:
            named[part.designation].append(part)
        else:
            kind = boat.kind(part)
            yield breaks("missing", f"part:{part.id}", kind=kind.title if kind else part.kind)
    for designation, parts in named.items():
        yield _answer(designation, parts)


def _answer(designation: str, parts: list[Part]) -> Outcome:
    subjects = tuple(f"part:{part.id}" for part in parts)
    if len(parts) == 1:
        return meets("twice", *subjects)
    labels = enumerated(part.label or part.kind for part in parts)
    return breaks("twice", *subjects, designation=designation, count=len(parts), parts=labels)
