"""Rule mismatched-bank."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from engine.graph.boat import Boat, quantity
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, cannot_tell, meets, rule

TOLERANCE = 1.12
"""12 and 12.8 V are one nominal voltage, 12 and 24 V are not."""


@rule(
    "mismatched-bank",
    title="Unlike batteries joined as one bank",
    books=("any",),
    basis=(
        Basis("any", "a published study of insurers' claims for fires aboard",
              "Batteries reversed, or wrongly joined in series and parallel after service, are the owner's commonest cause of "
              "battery fires.", "published"),
        Basis("any", "common practice, no source", "Batteries in parallel are of one voltage and one chemistry.", "practice"),
    ),
    wordings={
        "voltages": Wording(
            "danger",
            "{first} ({first_v} V) and {second} ({second_v} V) are joined in parallel.",
            "Part them, and join only batteries of one voltage.",
        ),
        "chemistries": Wording(
            "requirement",
            "{first} ({first_kind}) and {second} ({second_kind}) are joined in parallel with every switch off.",
            "Part them: each kind wants its own charge voltage.",
        ),
    },
    needs="Nominal voltage and chemistry of batteries that are joined with every switch off.",
)  # fmt: skip
def mismatched_bank(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A 24 V bank on a 12 V battery drives hundreds of amperes through the link. Two chemistries on one charger mean that
    one of them is always wrongly charged."""
    if len(boat.with_role("battery")) < 2:
        return
    for first, second in combinations(boat.with_role("battery"), 2):
        if (second.id, "pos", "+") in boat.at_rest((first.id, "pos", "+")):
            yield from _judge(boat, first, second)


def _judge(boat: Boat, first: Part, second: Part) -> Iterator[Outcome]:
    keys = (f"part:{first.id}", f"part:{second.id}")
    names = {"first": boat.name(first), "second": boat.name(second)}
    volts = [quantity(part, "nominal_v") for part in (first, second)]
    lacks = tuple(f"{key} nominal_v" for key, each in zip(keys, volts, strict=True) if each is None)
    if lacks:
        yield cannot_tell("voltages", *keys, lacks=lacks)
    elif low(volts[0]) > high(volts[1]) * TOLERANCE or low(volts[1]) > high(volts[0]) * TOLERANCE:
        yield breaks("voltages", *keys, **names, first_v=low(volts[0]), second_v=low(volts[1]))
    elif high(volts[0]) <= low(volts[1]) * TOLERANCE and high(volts[1]) <= low(volts[0]) * TOLERANCE:
        yield meets("voltages", *keys)
    else:
        open_fields = (f"{key} nominal_v" for key, each in zip(keys, volts, strict=True) if not is_exact(each))
        yield cannot_tell("voltages", *keys, lacks=tuple(open_fields))
    yield _chemistries(keys, names, [part.values.get("chemistry") for part in (first, second)])


def _chemistries(keys: tuple[str, str], names: dict[str, str], kinds: list[object]) -> Outcome:
    lacks = tuple(f"{key} chemistry" for key, each in zip(keys, kinds, strict=True) if each is None)
    if lacks:
        return cannot_tell("chemistries", *keys, lacks=lacks)
    if kinds[0] != kinds[1]:
        return breaks("chemistries", *keys, **names, first_kind=str(kinds[0]), second_kind=str(kinds[1]))
    return meets("chemistries", *keys)
