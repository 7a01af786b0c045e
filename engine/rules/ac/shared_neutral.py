"""Rule shared-neutral."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.positions import SearchTooLargeError
from engine.rules.ac.joints import meeting, positions_of
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, cannot_tell, meets, rule


@rule(
    "shared-neutral",
    title="Neutral shared by two AC sources",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "a marine electrical firm on residual devices and inverters",
            "The neutral of an inverter's output does not meet the neutral bus of the shore input.",
            "published",
        ),
        Basis("e11", "ABYC E-11, as a course quotes it", "The transfer opens neutral as well as line.", "secondary"),
        Basis("iso13297", "ISO 13297", "The change-over breaks the neutral as well as the line.", "memory"),
    ),
    wordings={
        "shared": Wording(
            "danger",
            "With {position}, the neutrals of {first} and {second} are joined.",
            "Give {first} and {second} neutral buses of their own, and a transfer that opens the neutral too.",
        )
    },
)
def shared_neutral(boat: Boat, book: Book) -> Iterator[Outcome]:
    """One neutral bus for shore and inverter: the residual-current device trips or is taken out, and the joint of neutral
    and earth in the inverter earths the shore neutral aboard."""
    yield from boat.derive(_outcomes)


def _outcomes(boat: Boat) -> tuple[Outcome, ...]:
    """The answers, which are the same under every rulebook."""
    return tuple(_each(ac_of(boat)))


def _each(ac: AcSystem) -> Iterator[Outcome]:
    sources = ac.of_kind("shore", "generator", "inverter", "transformer")
    for index, first in enumerate(sources):
        if sources[index + 1 :]:
            yield _search(ac, first, sources[index + 1 :])


def _search(ac: AcSystem, first: AcSource, others: tuple[AcSource, ...]) -> Outcome:
    boat, subject = ac.boat, f"part:{first.part.id}"
    owner = {source.neutral: source for source in others}
    try:
        found = meeting(ac.neutral_positions, first, first.neutral, {node: each.needs for node, each in owner.items()})
    except SearchTooLargeError:
        return cannot_tell("shared", subject, lacks=("the switches: too many ways",))
    if found is None:
        return meets("shared", subject, *(f"part:{source.part.id}" for source in others))
    node, needs = found
    way = ac.neutral_positions.way(first.neutral, node, needs)
    second = owner[node].part
    values = {"first": boat.name(first.part), "second": boat.name(second), "position": positions_of(boat, way, needs)}
    keys = tuple(dict.fromkeys(edge.key for edge in way))
    return Outcome(verdict="breaks", code="shared", subjects=(subject, f"part:{second.id}"), values=values, path=keys)
