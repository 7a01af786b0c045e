"""Rule unearthed-case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Node
from engine.model.network import AC_LINES, Part
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule

ALWAYS = ("outlet_ac", "ac_panel")
"""An outlet hands its earth on to whatever is plugged in; a panel hands it on to its circuits."""


@rule(
    "unearthed-case",
    title="AC device without a continuous protective earth",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11 (recalled); an electricians' journal on drowning by electric shock",
            "The green conductor runs unbroken from every AC case to the source.",
            "memory",
        ),
        Basis(
            "iso13297",
            "ISO 13297",
            "The protective conductor joins exposed metal to the main earth point.",
            "memory",
        ),
    ),
    wordings={
        "no-earth": Wording(
            "danger",
            "The protective earth of {part} does not reach {source}, which feeds it: nothing would cut off a live case.",
            "Lead an unbroken protective earth of full size from {part} to the earth bus, and from there to {source}.",
        )
    },
    needs="The protective-earth core of each AC run, and the class of protection or the metal case of each appliance.",
)
def unearthed_case(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A heater's element leaks to its tank. With an earth the breaker opens; without one the tap, the shower and the water
    round the boat are live."""
    ac = ac_of(boat)
    grounded = {source.earth: reach(ac.earths, [source.earth]) for source in ac.sources}
    for part in boat.with_role("load_ac", "converter", *ALWAYS):
        sources = ac.feeding(part)
        earth = _earth_terminal(boat, part)
        if sources and earth:
            yield _answer(ac, part, earth, sources, grounded)


def _answer(
    ac: AcSystem, part: Part, earth: Node, sources: tuple[AcSource, ...], grounded: Mapping[Node, set[Node]]
) -> Outcome:
    subject = f"part:{part.id}"
    unreached = [source for source in sources if earth not in grounded[source.earth]]
    if not unreached or part.values.get("insulation_class") == "II":
        return meets("no-earth", subject)
    needed = _needs_earth(ac.boat, part)
    if needed is None:
        field = "insulation_class" if ac.boat.role(part) == "load_ac" else "metal_case"
        return cannot_tell("no-earth", subject, lacks=(f"{subject} {field}",))
    if not needed:
        return meets("no-earth", subject)
    names = ", ".join(ac.boat.name(source.part) for source in unreached)
    subjects = (subject, *(f"part:{source.part.id}" for source in unreached))
    return breaks("no-earth", *subjects, part=ac.boat.name(part), source=names)


def _needs_earth(boat: Boat, part: Part) -> bool | None:
    """Whether the device needs an earth; None where neither its class nor its case is known."""
    if boat.role(part) in ALWAYS or part.values.get("insulation_class") == "I":
        return True
    metal = part.values.get("metal_case")
    return metal if isinstance(metal, bool) and (metal or boat.role(part) == "converter") else None


def _earth_terminal(boat: Boat, part: Part) -> Node | None:
    """The earth of the port that takes AC in."""
    for port in boat.ports(part):
        if "PE" in port.poles and AC_LINES & set(port.poles):
            return (part.id, port.name, "PE")
    return None
