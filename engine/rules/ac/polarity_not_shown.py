"""Rule polarity-not-shown."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.graph.listed import edges_of
from engine.graph.paths import reach
from engine.graph.poles import Node
from engine.messages import enumerated
from engine.model.network import AC_LINES, Part
from engine.model.quantity import high, is_exact, low
from engine.rules.ac.system import AcSource, AcSystem, ac_of
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import judged

LEAST_OHM = 25_000.0


@rule(
    "polarity-not-shown",
    title="Single-pole branches without a sign of reversed polarity",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a panel maker and a design forum quote it",
            "Branch breakers in the line only are allowed on 120 V with a reverse-polarity indicator, or behind a transformer; "
            "else both poles open.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 6.10, 13.1.1, 13.1.2 and 13.3",
            "Single-pole branch breakers only in a polarised system with a polarity indicator or transformer; in an "
            "unpolarised one breakers open line and neutral together.",
            "published",
        ),
        Basis("e11", "ABYC E-11 (recalled)", "The indicator's circuit has at least 25 000 ohm at 120 V.", "memory"),
    ),
    wordings={
        "no-indicator": Wording(
            "requirement",
            "{branches} open the line only, and nothing shows when {inlet} is connected with line and neutral swapped.",
            "Fit a reverse-polarity indicator behind the main breaker, or use two-pole branch breakers.",
        ),
        "unpolarised": Wording(
            "danger",
            "{branches} open one pole only, and {inlet} is not polarised: either conductor may be the live one.",
            "Use two-pole branch breakers.",
        ),
        "leaky-indicator": Wording(
            "requirement",
            "The polarity indicator {part} has {ohm} ohm; below {limit} ohm it leads a current to earth that a person "
            "can feel.",
            "Use an indicator of at least {limit} ohm.",
            "{ohm} ohm < {limit} ohm",
        ),
    },
    parameters=(Parameter("least_ohm", LEAST_OHM, "ohm", "ABYC E-11, recalled", "memory"),),
    needs="The poles of branch breakers, the polarity indicator and its resistance, and whether the inlet is polarised.",
)
def polarity_not_shown(boat: Boat, book: Book) -> Iterator[Outcome]:
    """One wrongly wired pedestal and every breaker aboard switches the neutral. The appliance is off, and its element is
    live."""
    ac = ac_of(boat)
    for inlet in ac.of_kind("shore"):
        branches = _single_poles(ac, inlet)
        if branches and len(inlet.lines) == 1:
            yield _answer(ac, inlet, branches, book)
        elif len(inlet.lines) == 1:
            yield meets("no-indicator", f"part:{inlet.part.id}")
    for part in boat.with_role("meter"):
        if book == "e11" and part.kind == "polarity_indicator":
            yield _resistance(boat, part)


def _single_poles(ac: AcSystem, inlet: AcSource) -> list[str]:
    """Keys of the devices behind the inlet that open the line and leave the neutral; a way on two lines opens both."""
    behind = reach(ac.lines, inlet.lines)
    double = {edge.key for _, _, edge in edges_of(ac.neutrals) if edge.kind in ("breaker", "fuse")}
    found = [edge.key for a, _, edge in edges_of(ac.lines) if a in behind and edge.kind in ("breaker", "fuse")]
    return [key for key in dict.fromkeys(found) if key not in double and not _is_spare(ac.boat, key)]


def _is_spare(boat: Boat, key: str) -> bool:
    part_id, _, position_key = key.partition(":")[2].partition("/")
    position = boat.position(boat.parts[part_id], position_key) if position_key else None
    return position is not None and position.state != "used"


def _answer(ac: AcSystem, inlet: AcSource, branches: list[str], book: Book) -> Outcome:
    boat, subject = ac.boat, f"part:{inlet.part.id}"
    told = {"branches": _names(boat, branches), "inlet": boat.name(inlet.part)}
    polarised = inlet.part.values.get("polarised")
    if book == "iso13297" and polarised is False:
        return breaks("unpolarised", subject, *branches, **told)
    lacks = [f"{subject} polarised"] if book == "iso13297" and polarised is None else []
    behind = reach(ac.lines, inlet.lines)
    if not _has_indicator(boat, behind):
        panels = [part for part in boat.with_role("ac_panel") if _is_on(boat, part, behind)]
        untold = [
            f"part:{part.id} polarity_indicator" for part in panels if part.values.get("polarity_indicator") is None
        ]
        if not untold:
            return breaks("no-indicator", subject, *branches, **told)
        lacks += untold
    return cannot_tell("no-indicator", subject, lacks=tuple(lacks)) if lacks else meets("no-indicator", subject)


def _has_indicator(boat: Boat, behind: set[Node]) -> bool:
    return any(
        _is_on(boat, part, behind)
        for part in boat.network.parts
        if part.kind == "polarity_indicator"
        or (boat.role(part) == "ac_panel" and part.values.get("polarity_indicator") is True)
    )


def _is_on(boat: Boat, part: Part, behind: set[Node]) -> bool:
    """Whether a line terminal of the part is among the nodes."""
    return any(node[0] == part.id and node[2] in AC_LINES for node in behind)


def _names(boat: Boat, keys: list[str]) -> str:
    parts = (key.partition(":")[2].partition("/") for key in keys)
    listed = [
        f"{boat.parts[part].designation}.{position}" if position else boat.name(boat.parts[part])
        for part, _, position in parts
    ]
    return enumerated(listed)


def _resistance(boat: Boat, part: Part) -> Outcome:
    ohm = quantity(part, "impedance_ohm")
    field = f"part:{part.id} impedance_ohm"
    return judged(
        "leaky-indicator", (f"part:{part.id}",), safe=low(ohm, 0.0) >= LEAST_OHM, hopeless=high(ohm) < LEAST_OHM,
        lacks=() if is_exact(ohm) else (field,),
        values={"part": boat.name(part), "ohm": f"{low(ohm, 0.0):.0f}", "limit": f"{LEAST_OHM:.0f}"},
    )  # fmt: skip
