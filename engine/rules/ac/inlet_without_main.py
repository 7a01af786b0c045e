"""Rule inlet-without-main."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.messages import enumerated
from engine.rules.ac.leads import FEET_10_M, Lead, first_devices, main_of
from engine.rules.ac.system import AcSource, ac_of
from engine.rules.api import Basis, Book, Outcome, Parameter, Shown, Wording, breaks, rule
from engine.rules.bounds import judged

ISO_BARE_M, ISO_COVERED_M = 0.5, 3.0


@rule(
    "inlet-without-main",
    title="Shore inlet without a main breaker close to it",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a magazine and two electricians quote it",
            "A main shore breaker within 10 ft (3 m) of the inlet along the conductor, else an additional one there.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 13.2.2, read in an excerpt",
            "A manually reset trip-free breaker within 0.5 m of the source; if impractical, the conductor to the panel is "
            "in a protective covering (this second part recalled).",
            "memory",
        ),
        Basis(
            "iso13297",
            "ISO 13297 7.2.2 in an older numbering, quoted in a forum",
            "Where the main breaker is more than 3 m from the inlet, a device within 3 m of it.",
            "secondary",
        ),
    ),
    wordings={
        "no-main": Wording(
            "danger",
            "{inlet} has no main breaker: what it feeds ({fed}) does not lie behind one device.",
            "Fit a two-pole breaker of no more than the inlet's service rating close to {inlet}, before anything else.",
        ),
        "fused-main": Wording(
            "requirement",
            "The first device after {inlet} is a fuse ({device}), which opens one conductor only.",
            "Fit a two-pole breaker there.",
        ),
        "too-far": Wording(
            "danger",
            "{device} is {length} m from {inlet} along the conductor; {limit} m are allowed.",
            "Fit a two-pole breaker within {limit} m of {inlet}, or move {device} there.",
            "{length} m > {limit} m",
        ),
    },
    parameters=(
        Parameter("main_distance_us", FEET_10_M, "m", "ABYC E-11, quoted second hand (10 ft)", "secondary"),
        Parameter("main_distance_iso", ISO_BARE_M, "m", "ISO 13297:2020 13.2.2", "published"),
        Parameter("main_distance_iso_covered", ISO_COVERED_M, "m", "ISO 13297 7.2.2, older numbering", "secondary"),
    ),
    needs="The conductors from each inlet to its main breaker, with length and cover.",
)
def inlet_without_main(boat: Boat, book: Book) -> Iterator[Outcome]:
    """The cord's own breaker is ashore and sized for the pedestal. Until the boat's main breaker, every chafe in the inlet
    wiring burns with all that the dock can deliver."""
    ac = ac_of(boat)
    for inlet in ac.of_kind("shore"):
        lead = main_of(ac, inlet)
        yield _far(boat, inlet, lead, book) if lead else _missing(boat, inlet, first_devices(ac, inlet))


def _missing(boat: Boat, inlet: AcSource, found: list[Lead]) -> Outcome:
    names = dict.fromkeys(boat.name(boat.parts[lead.node[0]]) for lead in found)
    fed = enumerated(names) or "its conductors"
    bare = dict.fromkeys(f"run:{lead.runs[0].id}" for lead in found if lead.runs)
    return breaks("no-main", f"part:{inlet.part.id}", *bare, inlet=boat.name(inlet.part), fed=fed)


def _far(boat: Boat, inlet: AcSource, lead: Lead, book: Book) -> Outcome:
    assert lead.edge is not None
    subjects = (f"part:{inlet.part.id}", lead.key)
    device = boat.parts[lead.node[0]]
    if lead.edge.kind == "fuse":
        return breaks("fused-main", *subjects, inlet=boat.name(inlet.part), device=boat.name(device))
    length = lead.length
    safe, hopeless, limit_m, lacks = _limits(lead, book)
    told: dict[str, Shown] = {
        "device": boat.name(device), "inlet": boat.name(inlet.part), "length": length.text, "limit": limit_m
    }  # fmt: skip
    lacks = (*length.lacks, *lacks)
    return judged("too-far", subjects, safe=safe, hopeless=hopeless, lacks=lacks, values=told, path=lead.path)


def _limits(lead: Lead, book: Book) -> tuple[bool, bool, float, tuple[str, ...]]:
    length, covered = lead.length, lead.covered
    if book == "e11":
        return length.most <= FEET_10_M, length.least > FEET_10_M, FEET_10_M, ()
    if covered is True or length.least > ISO_COVERED_M:
        return length.most <= ISO_COVERED_M, length.least > ISO_COVERED_M, ISO_COVERED_M, ()
    bare = covered is False and length.least > ISO_BARE_M
    return length.most <= ISO_BARE_M, bare, ISO_BARE_M, lead.uncovered_fields
