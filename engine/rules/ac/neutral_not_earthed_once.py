"""Rule neutral-not-earthed-once."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.listed import edges_of
from engine.graph.paths import reach
from engine.graph.positions import SearchTooLargeError
from engine.rules.ac.joints import Joint, is_own, joints_of, witness
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule


@rule(
    "neutral-not-earthed-once",
    title="Neutral not earthed exactly once, at the source in use",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as an inverter maker and a boating page quote it",
            "Neutral and ground are joined at the generator, the inverter while inverting or the transformer's secondary, "
            "and nowhere else.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 6.8",
            "The neutral is earthed at the generator or inverter; with a transformer it may be earthed at the main earth bus, "
            "or left unearthed where protection and switching are double pole.",
            "published",
        ),
    ),
    wordings={
        "not-earthed": Wording(
            "danger",
            "The neutral of {source} is not earthed while it feeds: a fault to a case would trip nothing.",
            "Join neutral and earth at {source}, so that the joint is closed whenever it feeds.",
        ),
        "earthed-elsewhere": Wording(
            "requirement",
            "The neutral of {source} is earthed at {joint} instead of at the source itself ({position}).",
            "Join neutral and earth at {source} and take the joint at {joint} out.",
        ),
        "earthed-twice": Wording(
            "danger",
            "With {position}, the neutral of {source} is earthed at the source and again at {joint}.",
            "Take the joint at {joint} out, or let it open while {source} feeds.",
        ),
    },
    needs="Whether each generator, inverter and transformer joins its neutral to earth.",
)
def neutral_not_earthed_once(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Without a joint no breaker opens on a fault to a case; with two, the return current splits and flows in the earth."""
    ac = ac_of(boat)
    for source in ac.of_kind("generator", "inverter", "transformer"):
        try:
            yield _answer(ac, source, list(joints_of(ac, source)), book)
        except SearchTooLargeError:
            yield cannot_tell("not-earthed", f"part:{source.part.id}", lacks=("the switches: too many ways",))


def _answer(ac: AcSystem, source: AcSource, found: list[Joint], book: Book) -> Outcome:
    boat, subject = ac.boat, f"part:{source.part.id}"
    own = [joint for joint in found if is_own(joint, source)]
    others = [joint for joint in found if not is_own(joint, source)]
    unsure = [joint for joint in found if not joint.bond.sure]
    if own and others and own[0].bond.sure and others[0].bond.sure:
        return witness(boat, "earthed-twice", others[0], source, source=boat.name(source.part))
    if unsure:
        lacks = tuple(f"{joint.bond.edge.key} bonds_neutral" for joint in unsure)
        return cannot_tell("not-earthed", subject, lacks=lacks)
    if own:
        return meets("not-earthed", subject)
    at_bus = bool(book == "iso13297" and source.kind == "transformer")
    if others and not at_bus:
        return witness(boat, "earthed-elsewhere", others[0], source, source=boat.name(source.part))
    if others or (at_bus and _is_double_pole(ac, source)):
        return meets("not-earthed", subject)
    return breaks("not-earthed", subject, source=boat.name(source.part))


def _is_double_pole(ac: AcSystem, source: AcSource) -> bool:
    """Whether every fuse and breaker behind the source opens the neutral with the line."""
    behind = reach(ac.lines, source.lines)
    devices = {edge.key for a, _, edge in edges_of(ac.lines) if a in behind and edge.kind in ("fuse", "breaker")}
    double = {edge.key for _, _, edge in edges_of(ac.neutrals) if edge.kind == "breaker"}
    return bool(devices) and devices <= double
