"""Rule unprotected-ignition-source."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.network import Compartment, Part
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule

FIELD = "ignition_protected"


@rule(
    "unprotected-ignition-source",
    title="Device that can spark where petrol vapour may be",
    books=("33cfr183", "e11", "iso13297"),
    basis=(
        Basis(
            "33cfr183", "33 CFR 183.410(a), 2015 edition",
            "No electrical component may ignite a propane and air mixture around it, unless it is isolated from petrol sources.",
            "published",
        ),
        Basis(
            "e11", "ABYC E-11, as makers and a boat magazine quote it",
            "Devices in spaces with petrol engines, tanks or vapour are ignition protected; not required in diesel-only spaces. "
            "An ordinary residual-current outlet is not.",
            "secondary",
        ),
        Basis(
            "iso13297", "ISO 13297 with ISO 8846 (recalled)",
            "Components in spaces with petrol or gas sources are ignition protected, unless the space is open.", "memory",
        ),
    ),
    wordings={
        "can-spark": Wording(
            "danger",
            "{part} is not ignition protected, and there may be petrol vapour in {space}.",
            "Use an ignition-protected device, or move {part} out of {space}.",
        )
    },
    needs="The fuel of the boat, whether each space may hold petrol vapour, where each device stands, and its ignition protection.",
)  # fmt: skip
def unprotected_ignition_source(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Petrol vapour gathers low and waits. One contact that opens in it, one brush of a motor, and the boat is gone; nothing
    that sparks may be there unless it is built to keep its spark inside."""
    sparking = [part for part in boat.network.parts if _can_say(boat, part)]
    if _may_burn_petrol(boat):
        if boat.network.particulars.fuel is None and sparking:
            yield cannot_tell("can-spark", "boat", lacks=("boat fuel",), part="?", space="?")
            return
        yield from _unplaced(sparking)
    for space in boat.network.compartments:
        yield from _in_space(boat, space, [part for part in sparking if part.compartment == space.id])


def _can_say(boat: Boat, part: Part) -> bool:
    kind = boat.kind(part)
    return kind is not None and any(value.name == FIELD for value in kind.value)


def _may_burn_petrol(boat: Boat) -> bool:
    """Whether petrol may be aboard as the boat's fuel; where a space is said to hold its vapour, that is enough."""
    stated = [space.petrol_vapour for space in boat.network.compartments]
    fuel = boat.network.particulars.fuel
    return (
        True in stated or fuel == "petrol" or (fuel is None and not (stated and all(each is False for each in stated)))
    )


def _unplaced(sparking: list[Part]) -> Iterator[Outcome]:
    """What stands nobody knows where, and may spark: one question for them all."""
    lost = [part for part in sparking if not part.compartment and part.values.get(FIELD) is not True]
    if lost:
        keys = [f"part:{part.id}" for part in lost]
        yield cannot_tell("can-spark", *keys, lacks=tuple(f"{key} compartment" for key in keys), part="?", space="?")


def _in_space(boat: Boat, space: Compartment, parts: list[Part]) -> Iterator[Outcome]:
    if space.petrol_vapour is False or (space.petrol_vapour is None and not _may_burn_petrol(boat)):
        yield from (meets("can-spark", f"part:{part.id}") for part in parts)
        return
    untold = [part for part in parts if part.values.get(FIELD) is not True]
    yield from (meets("can-spark", f"part:{part.id}") for part in parts if part not in untold)
    if space.petrol_vapour is None and untold:
        yield cannot_tell(
            "can-spark", *(f"part:{part.id}" for part in untold), lacks=(f"space:{space.id} petrol_vapour",)
        )
    elif space.petrol_vapour:
        yield from (_told(boat, part, space) for part in untold)


def _told(boat: Boat, part: Part, space: Compartment) -> Outcome:
    key = f"part:{part.id}"
    if part.values.get(FIELD) is False:
        return breaks("can-spark", key, part=boat.name(part), space=space.name)
    return cannot_tell("can-spark", key, lacks=(f"{key} {FIELD}",), part=boat.name(part), space=space.name)
