"""Does every breaker stay open until somebody closes it?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(a), 2015 edition", "Breakers are manually reset and trip-free.", "published"),
    Basis("e11", "ABYC E-11", "Breakers are manually reset and trip-free; self-resetting ones are not accepted.", "secondary"),
    Basis("iso13297", "ISO 13297:2020, 13.2.2 (AC); DC clause from memory", "Breakers are manually reset and trip-free.",
          "published"),
)  # fmt: skip


@rule(
    "self-resetting-breaker",
    title="Breaker that closes again, or can be held closed",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "resets-itself": Wording(
            severity="requirement",
            sentence="{device} closes again by itself after it has opened.",
            remedy="Fit a breaker that is reset by hand.",
        ),
        "not-trip-free": Wording(
            severity="requirement",
            sentence="{device} can be held closed against a fault: it is not trip-free.",
            remedy="Fit a trip-free breaker.",
        ),
    },
    needs="Of each breaker that is a part of its own: whether it is reset by hand, and trip-free. Ways of panels are not asked.",
)
def self_resetting_breaker(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A breaker that closes by itself feeds a fault again and again, each time a little hotter, with nobody near. One that
    is not trip-free can be held closed by a hand on its lever."""
    for part in boat.with_role("protection"):
        kind = boat.kind(part)
        names = {value.name for value in kind.value} if kind else set()
        if "manual_reset" in names:
            yield _flag(boat, part, "manual_reset", "resets-itself")
        if "trip_free" in names:
            yield _flag(boat, part, "trip_free", "not-trip-free")


def _flag(boat: Boat, part: Part, field: str, code: str) -> Outcome:
    value = part.values.get(field)
    return judged(
        code,
        (f"part:{part.id}",),
        safe=value is True,
        hopeless=value is False,
        lacks=(f"part:{part.id} {field}",),
        values={"device": boat.name(part)},
    )
