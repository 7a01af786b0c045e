"""Rule thin-earth."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import ConductorSize, metric, standard_sizes
from engine.graph.boat import Boat
from engine.graph.flows import UNLIMITED
from engine.model.network import AC_LINES, Run
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import size_field, size_of

FULL_SIZE_UP_TO_A = 30.0
ISO_STEP_MM2 = (16.0, 35.0)
SAME = 1 - 1e-9


@rule(
    "thin-earth",
    title="Protective earth thinner than its circuit allows",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a page of links quotes it",
            "The grounding conductor may be one size smaller on circuits rated over 30 A, else it has the same size.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "IEC 60364-5-54 Table 54.2, as a wiring handbook quotes it",
            "Equal to the line up to 16 mm², 16 mm² up to 35 mm², half above.",
            "secondary",
        ),
    ),
    wordings={
        "thin": Wording(
            "requirement",
            "{run}: the protective earth is {earth}; with a line of {line} it must be at least {least}.",
            "Use {least} or more for the protective earth of {run}.",
            "{earth} < {least}",
        )
    },
    parameters=(
        Parameter("full_size_up_to", FULL_SIZE_UP_TO_A, "A", "ABYC E-11, quoted second hand", "secondary"),
        Parameter("equal_up_to", ISO_STEP_MM2[0], "mm²", "IEC 60364-5-54 Table 54.2, quoted second hand", "secondary"),
    ),
    needs="The size of the line and of the protective earth; above 30 A the rating of the circuit.",
)
def thin_earth(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fault to the case sends hundreds of amperes through the earth until the breaker opens. An earth that is too thin
    burns through first, and the case stays live."""
    for run in boat.network.runs:
        if "PE" in run.poles:
            beside = run if AC_LINES & set(run.poles) else _line_beside(boat, run)
            if beside is not None:
                yield _answer(boat, run, beside, book)


def _line_beside(boat: Boat, run: Run) -> Run | None:
    """The thickest run that carries a line and lands on the same port as this earth of its own."""
    ports = [(end.part, end.port) for end in (run.a, run.b)]
    beside = [other for port in ports for other in boat.runs_at.get(port, ()) if AC_LINES & set(other.poles)]
    known = [(size_of(other, _line(other)), other) for other in beside]
    return max(known, key=lambda pair: pair[0].area_mm2 if pair[0] else float("inf"))[1] if known else None


def _line(run: Run) -> str:
    return next(pole for pole in run.poles if pole in AC_LINES)


def _answer(boat: Boat, run: Run, beside: Run, book: Book) -> Outcome:
    key = f"run:{run.id}"
    if run is beside and not run.pe_size:
        return meets("thin", key)
    line, earth = size_of(beside, _line(beside)), size_of(run, "PE")
    if line is None or earth is None:
        lacks = [size_field(beside, _line(beside))] if line is None else []
        lacks += [size_field(run, "PE")] if earth is None else []
        return cannot_tell("thin", key, lacks=tuple(lacks), earth=earth.name if earth else "?", least="?")
    least, rest = _least(line, book), _smaller(line)
    if earth.area_mm2 >= least.area_mm2 * SAME:
        return meets("thin", key)
    most_a, rating_a = _held(boat, beside, book)
    if rest and earth.area_mm2 >= rest.area_mm2 * SAME and rating_a > FULL_SIZE_UP_TO_A:
        known = most_a < UNLIMITED
        return (
            meets("thin", key)
            if known
            else cannot_tell("thin", key, lacks=(f"run:{beside.id} protection",), earth=earth.name, least=least.name)
        )
    if rest and earth.area_mm2 >= rest.area_mm2 * SAME and most_a > FULL_SIZE_UP_TO_A:
        return cannot_tell("thin", key, lacks=(f"run:{beside.id} protection",), earth=earth.name, least=least.name)
    least = rest if rest and rating_a > FULL_SIZE_UP_TO_A else least
    return breaks("thin", key, run=boat.name_run(run), earth=earth.name, line=line.name, least=least.name)


def _held(boat: Boat, beside: Run, book: Book) -> tuple[float, float]:
    """What the line is held to, A: (at most, at least); only E-11 asks."""
    if book != "e11":
        return 0.0, 0.0
    at = beside.id, _line(beside)
    return boat.held_fitted[at].worst.current_a, boat.held_fitted_least[at].worst.current_a


def _least(line: ConductorSize, book: Book) -> ConductorSize:
    """The size that always serves."""
    equal_up_to, half_from = ISO_STEP_MM2
    if book == "e11" or line.area_mm2 <= equal_up_to:
        return line
    return metric(equal_up_to if line.area_mm2 <= half_from else line.area_mm2 / 2)


def _smaller(line: ConductorSize) -> ConductorSize | None:
    """One size smaller, of the same system."""
    below = [size for size in standard_sizes(line.system) if size.area_mm2 < line.area_mm2 * SAME]
    return below[-1] if below else None
