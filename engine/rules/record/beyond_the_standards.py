"""Rule beyond-the-standards."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged

MOST_DC_V, MOST_AC_V = 50.0, 250.0
TOLERANCE_V = 1e-9


@rule(
    "beyond-the-standards",
    title="Voltage that the rulebook does not cover",
    books=("e11", "iso13297"),
    basis=(
        Basis("e11", "ABYC E-9 (1990, now in E-11), an excerpt", "DC systems of 50 V or less.", "secondary"),
        Basis(
            "iso13297",
            "ISO 13297:2020+A1:2022, clause 1",
            "DC up to 50 V and single-phase AC up to 250 V.",
            "published",
        ),
    ),
    wordings={
        "dc": Wording(
            "requirement",
            "{part} is {voltage} V: the rulebook ends at {most} V DC, and what is checked here says nothing about it.",
            "Have this system judged by the standards for its voltage.",
            "{voltage} V > {most} V",
        ),
        "ac": Wording(
            "requirement",
            "{part} is {voltage} V: the rulebook ends at {most} V AC, and what is checked here says nothing about it.",
            "Have this system judged by the standards for its voltage.",
            "{voltage} V > {most} V",
        ),
    },
    parameters=(
        Parameter("most_dc", MOST_DC_V, "V", "ISO 13297:2020, clause 1", "published"),
        Parameter("most_ac", MOST_AC_V, "V", "ISO 13297:2020, clause 1", "published"),
    ),
    needs="The nominal voltage of batteries, inlets and generators.",
)
def beyond_the_standards(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A 96 V propulsion bank is not a large cabin light. Passing it by rules that were written for 12 V would be a lie."""
    for part in boat.with_role("battery", "ac_source"):
        is_dc = boat.role(part) == "battery"
        most = MOST_DC_V if is_dc else MOST_AC_V
        volts, key = quantity(part, "nominal_v"), f"part:{part.id}"
        yield judged(
            "dc" if is_dc else "ac", (key,), safe=high(volts) <= most + TOLERANCE_V, hopeless=low(volts, 0.0) > most,
            lacks=() if is_exact(volts) else (f"{key} nominal_v",),
            values={"part": boat.name(part), "voltage": high(volts, 0.0), "most": most},
        )  # fmt: skip
