"""Rule unearthed-case."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Node
from engine.messages import enumerated
from engine.model.network import AC_LINES, Part
from engine.rules.ac.system import AcSystem, ac_of
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
            "The protective earth of {part} does not reach {source}: nothing would cut off a live case.",
            "Lead an unbroken protective earth of full size from {part} to the earth bus, and from there to {source}.",
        )
    },
    needs="The protective-earth core of each AC run, and the class of protection or the metal case of each appliance.",
)
def unearthed_case(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A heater's element leaks to its tank. With an earth the breaker opens; without one the tap, the shower and the water
    round the boat are live."""
    yield from boat.derive(_outcomes)


def _outcomes(boat: Boat) -> tuple[Outcome, ...]:
    """The answers, which are the same under every rulebook."""
    return tuple(_each(ac_of(boat)))


def _each(ac: AcSystem) -> Iterator[Outcome]:
    boat = ac.boat
    grounded = {source.earth: reach(ac.earths, [source.earth]) for source in ac.sources}
    cut_off: dict[frozenset[Node], list[Part]] = {}
    for part in boat.with_role(*ALWAYS, "load_ac", "converter"):
        earth, sources = _earth_terminal(boat, part), ac.feeding(part)
        if earth is None or not sources:
            continue
        needed = _needs_earth(boat, part)
        if all(earth in grounded[source.earth] for source in sources) or needed is False:
            yield meets("no-earth", f"part:{part.id}")
        elif needed is None:
            yield _untold(boat, part)
        else:
            cut_off.setdefault(frozenset(reach(ac.earths, [earth])), []).append(part)
    for parts in cut_off.values():
        yield _broken(ac, parts, grounded)


def _untold(boat: Boat, part: Part) -> Outcome:
    field = "insulation_class" if boat.role(part) == "load_ac" else "metal_case"
    return cannot_tell("no-earth", f"part:{part.id}", lacks=(f"part:{part.id} {field}",))


def _broken(ac: AcSystem, parts: list[Part], grounded: Mapping[Node, set[Node]]) -> Outcome:
    """One finding for all devices that share the earth that is cut off: panels first, since it is theirs that broke."""
    parts = sorted(parts, key=lambda part: ac.boat.role(part) != "ac_panel")
    earth = _earth_terminal(ac.boat, parts[0])
    sources = {
        source.part.id: source.part
        for part in parts
        for source in ac.feeding(part)
        if earth not in grounded[source.earth]
    }
    subjects = (f"part:{part.id}" for part in (*parts, *sources.values()))
    names = [enumerated(ac.boat.name(part) for part in told) for told in (parts, sources.values())]
    return breaks("no-earth", *subjects, part=names[0], source=names[1])


def _needs_earth(boat: Boat, part: Part) -> bool | None:
    """Whether the device needs an earth; None where neither its class nor its case is known."""
    if part.values.get("insulation_class") == "II" and boat.role(part) == "load_ac":
        return False
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
