"""Rule earth-not-tied."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node, is_link_of
from engine.model.network import Part
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule


@rule(
    "earth-not-tied",
    title="AC earth not joined to DC negative",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a marine electrical firm's course explains it",
            "The AC grounding bus is connected to the engine negative terminal or the DC main negative bus.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 3.4, read in an excerpt",
            "The AC protective conductor is joined to the craft's earth, near the battery end of DC negative.",
            "published",
        ),
        Basis(
            "iso13297",
            "ISO 13297",
            "Not asked where the DC system is fully insulated, or all AC comes through an isolation transformer.",
            "memory",
        ),
    ),
    wordings={
        "not-tied": Wording(
            "danger",
            "The protective earth of {source} is not joined to DC negative or the main ground point.",
            "Join the earth bus to the main ground point by one conductor.",
        )
    },
    needs="The conductor from the earth bus to DC negative. On a boat without a DC source it is not asked.",
)
def earth_not_tied(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When AC finds its way to a twelve-volt wire, DC negative, the engine and the water are live until a breaker opens,
    and it opens only if that negative is joined to the earth."""
    ac = ac_of(boat)
    negatives = {source.back for source in boat.sources if source.back is not None and source.back[2] == "-"}
    if not negatives:
        return
    for source in ac.of_kind("shore", "generator", "inverter", "transformer"):
        if not _is_exempt(ac, source, book):
            yield _answer(boat, source, tied=_is_tied(ac, source, negatives))


def _answer(boat: Boat, source: AcSource, *, tied: bool) -> Outcome:
    if tied:
        return meets("not-tied", f"part:{source.part.id}")
    return breaks("not-tied", f"part:{source.part.id}", source=boat.name(source.part))


def _is_tied(ac: AcSystem, source: AcSource, negatives: set[Node]) -> bool:
    """Whether the earth reaches a DC negative; the case of another device is no conductor to count on."""

    def through_case(edge: Edge) -> bool:
        if edge.kind != "bond" or edge.part is None or is_link_of(edge, source.part):
            return False
        return _has_case(ac.boat, ac.boat.part_of(edge))

    return bool(negatives & reach(ac.grounds, [source.earth], through_case))


def _has_case(boat: Boat, part: Part) -> bool:
    return boat.role(part) in ("converter", "ac_source", "transformer")


def _is_exempt(ac: AcSystem, source: AcSource, book: Book) -> bool:
    """A shore earth that ends at an isolation transformer; under ISO the transformer's own secondary as well."""
    if source.kind == "transformer":
        return book == "iso13297"
    if source.kind != "shore":
        return False
    users = {ac.ends[node].id for node in reach(ac.lines, source.lines) if node in ac.ends}
    return bool(users) and all(ac.boat.role(ac.boat.parts[user]) == "transformer" for user in users)
