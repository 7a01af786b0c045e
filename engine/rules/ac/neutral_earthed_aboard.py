"""Rule neutral-earthed-aboard."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.positions import SearchTooLargeError
from engine.rules.ac.joints import Joint, joints_of, witness
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, cannot_tell, meets, rule


@rule(
    "neutral-earthed-aboard",
    title="Neutral and earth joined aboard while on shore current",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as an inverter maker and a boating page quote it",
            "Neutral and ground are joined only at the source in use; on shore current that is ashore.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 6.8",
            "The shore neutral is earthed ashore through the cable and not connected to earth on board.",
            "published",
        ),
    ),
    wordings={
        "joined-on-shore": Wording(
            "danger",
            "With {position}, the neutral of {inlet} is joined to earth aboard, at {joint}.",
            "Take the joint at {joint} out, or let it close only while the boat feeds itself.",
        )
    },
    needs="Every joint of neutral and earth, and whether each inverter and generator makes one.",
)
def neutral_earthed_aboard(boat: Boat, book: Book) -> Iterator[Outcome]:
    """With neutral and earth joined aboard, the return current of every appliance shares its way with the earth, the hull
    and the water. It also blinds the residual-current device that should save a swimmer."""
    yield from boat.derive(_outcomes)


def _outcomes(boat: Boat) -> tuple[Outcome, ...]:
    """The answers, which are the same under every rulebook."""
    return tuple(_each(ac_of(boat)))


def _each(ac: AcSystem) -> Iterator[Outcome]:
    boat = ac.boat
    for inlet in ac.of_kind("shore"):
        try:
            yield _answer(boat, inlet, list(joints_of(ac, inlet)))
        except SearchTooLargeError:
            yield cannot_tell("joined-on-shore", f"part:{inlet.part.id}", lacks=("the switches: too many ways",))


def _answer(boat: Boat, inlet: AcSource, found: list[Joint]) -> Outcome:
    subject = f"part:{inlet.part.id}"
    sure = [joint for joint in found if joint.bond.sure]
    if sure:
        return witness(boat, "joined-on-shore", sure[0], inlet, inlet=boat.name(inlet.part))
    if found:
        lacks = tuple(f"{joint.bond.edge.key} bonds_neutral" for joint in found)
        return cannot_tell("joined-on-shore", subject, lacks=lacks)
    return meets("joined-on-shore", subject)
