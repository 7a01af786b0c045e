"""Is the first device close enough to the source of each conductor?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import rulebook
from engine.rules.each import of_each
from engine.rules.legs import start_kind
from engine.rules.protected import Ends, all_held, answer, as_fitted, ends_touched

BASIS = (
    Basis("33cfr183", "33 CFR 183.455(b), 183.460(a), 2015 edition",
          "The device is at the source; where that is impractical within 7 in along the conductor, or 40 in where the "
          "conductor is covered all the way; at a battery within 72 in.", "published"),
    Basis("e11", "ABYC E-11", "The device is within 7 in of the source along the conductor; 72 in from a battery terminal "
          "and 40 in from any other source where the conductor is covered over its whole length.", "secondary"),
    Basis("iso13297", "ISO 13297:2020, 12.1, 12.3, 13.2.2", "The device is within 200 mm of the source (AC 0.5 m, charging "
          "sources 1.8 m), or the conductor is in a protective covering up to the device.", "memory"),
)  # fmt: skip
REMEDY = "Move {device} to within {permitted} of {place}, or put the conductor in a sheath where that allows it."
FORMULA = "{distance} > {permitted} ({clause})"


@rule(
    "distant-device",
    title="Fuse or breaker too far from the source",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "too-far-from-battery": Wording(
            severity="danger",
            sentence="{run} ({size}) has its first device, {device}, {distance} from {place}; {permitted} is permitted.",
            remedy=REMEDY,
            formula=FORMULA,
        ),
        "too-far-from-source": Wording(
            severity="requirement",
            sentence="{run} ({size}) leaves {place} and has its first device, {device}, {distance} on; {permitted} is "
            "permitted.",
            remedy=REMEDY,
            formula=FORMULA,
        ),
    },
    parameters=(
        Parameter("bare", 7, "in", "ABYC E-11, quoted; 33 CFR 183.455(b)(1)", "published"),
        Parameter("covered", 40, "in", "ABYC E-11, quoted; 33 CFR 183.455(b)(2)", "published"),
        Parameter("battery", 72, "in", "33 CFR 183.460(a); ABYC E-11 only where covered, quoted", "published"),
        Parameter("ISO bare", 0.2, "m", "ISO 13297:2020, 12.1", "memory"),
        Parameter("ISO charging source", 1.8, "m", "ISO 13297:2020, 12.3", "published"),
        Parameter("ISO AC source", 0.5, "m", "ISO 13297:2020, 13.2.2", "published"),
    ),
    needs="Length and covering of each run between a source and its first device.",
)
@of_each(as_fitted, ends_touched)
def distant_device(boat: Boat, book: Book, ends: Ends) -> Iterator[Outcome]:
    """The stretch between a source and the first device is protected by nothing. It is tolerated only as far as it is
    short, and longer only inside a sheath, conduit or enclosure. A battery terminal is a source, and so is each bus,
    switch output or joint from which a conductor leaves that cannot have what is upstream. The length is measured along
    the conductor, through switches and joints, to the first device on every way."""
    if held := all_held(ends, "too-far-from-source"):
        yield held
        return
    far = [each for each in ends if each.best == "far"]
    untold = [each for each in ends if each.best == "held" and each.worst == "far"]
    for each in far or untold[:1]:
        code = "battery" if start_kind(boat, each.end.node) == "battery" else "source"
        yield answer(boat, each, f"too-far-from-{code}", rulebook(book))
