"""Rule slipped-unit."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import combinations

import msgspec

from engine.graph.boat import Boat, quantity
from engine.library.field_names import value_text
from engine.model.kept import Kept, by_identity
from engine.model.network import Part, Run
from engine.model.quantity import Quantity, high, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, meets, rule

LONGEST_M = 60.0
FACTOR = 5.0
SMALL = frozenset(
    {"lamp", "navigation_light", "electronics", "radio", "fan", "alarm_bilge", "alarm_gas", "alarm_smoke"}
)


class Likely(msgspec.Struct, frozen=True):
    """Between which values a field of a boat lies, and what a value outside looks like."""

    field: str
    least: float
    most: float
    unit: str
    below: str
    above: str
    kinds: frozenset[str] = frozenset()
    """Only parts of these kinds; empty: of any."""


OF_WAYS = frozenset({"residual_ma", "interrupting_a"})
"""Fields that the ways of a panel have as well."""

LIKELY = (
    Likely("residual_ma", 1, 1000, "mA", "amperes", "microamperes"),
    Likely("main_residual_ma", 1, 1000, "mA", "amperes", "microamperes"),
    Likely("trip_ms", 1, 5000, "ms", "seconds", "microseconds"),
    Likely("main_trip_ms", 1, 5000, "ms", "seconds", "microseconds"),
    Likely("interrupting_a", 100, 300_000, "A", "kiloamperes", "milliamperes"),
    Likely("short_circuit_a", 50, 100_000, "A", "kiloamperes", "milliamperes"),
    Likely("cca_a", 30, 20_000, "A", "another unit", "milliamperes"),
    Likely("capacity_ah", 1, 4000, "Ah", "kilowatt-hours", "milliampere-hours"),
    Likely("internal_mohm", 0.03, 200, "mohm", "ohms", "microohms"),
    Likely("power_w", 10, 50_000, "W", "kilowatts", "milliwatts", frozenset({
        "water_heater", "generator", "generator_split", "air_conditioner", "windlass", "thruster"})),
    Likely("continuous_w", 40, 50_000, "W", "kilowatts", "milliwatts"),
    Likely("running_a", 0.001, 60, "A", "kiloamperes", "milliamperes", SMALL),
    Likely("cranking_a", 20, 5000, "A", "kiloamperes", "milliamperes"),
    Likely("locked_rotor_a", 1, 5000, "A", "kiloamperes", "milliamperes"),
)  # fmt: skip


@rule(
    "slipped-unit",
    title="Number that looks as if its unit had slipped",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "A number a thousand times too large or too small for a boat was read in "
              "another unit.", "practice"),
    ),
    wordings={
        "value": Wording(
            "requirement",
            "The {field} of {part} is {value} {unit}: it looks like {meant}.",
            "Look at the plate again, and enter the number in {unit}.",
        ),
        "long": Wording(
            "requirement",
            "{part} is {value} m long: longer than any way on a boat of this kind.",
            "Measure again; was it meant in feet, in centimetres, or without the last nought?",
        ),
        "hot": Wording(
            "requirement",
            "{part} is stated at {value} °C: it looks like degrees Fahrenheit.",
            "Enter degrees Celsius.",
        ),
        "unlike-return": Wording(
            "advice",
            "{part} is {value} m long and {other}, between the same two parts, is {other_value} m.",
            "Measure both again: a point may have slipped.",
            "{value} m > {factor} × {other_value} m",
        ),
    },
    parameters=(
        Parameter("longest", LONGEST_M, "m", "common practice, no source", "practice"),
        Parameter("factor", FACTOR, "×", "common practice, no source", "practice"),
    ),
    needs="Nothing more than it finds: a field that is not known is passed over.",
)  # fmt: skip
def slipped_unit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Milliamperes typed as amperes, feet as metres, a point that slipped: the sum comes out, and it is nonsense. The lamp
    that draws 250 A is caught here; the feeder that is ten times too long would only look too thin."""
    yield from boat.carry_records("slipped units", lambda: tuple(_of_parts(boat)))
    for run in boat.network.runs:
        yield from _run_met(run, None) or _run(boat, run)
    for space in boat.network.compartments:
        if low(space.ambient_c, 0.0) > 75:
            yield breaks("hot", f"space:{space.id}", part=space.name, value=low(space.ambient_c))
    yield from _returns(boat)


def _of_parts(boat: Boat) -> Iterator[Outcome]:
    for part in boat.network.parts:
        yield from _MET.of(part.id, part) or _values(boat, part)


def _values(boat: Boat, part: Part) -> Iterator[Outcome]:
    for likely, key, value in _stated(part):
        yield from _value(boat, part, likely, key, value)


def _stated(part: Part) -> Iterator[tuple[Likely, str, Quantity]]:
    """The values of a part and of its ways that are asked, each with its key."""
    for likely in _likely_of(part.kind):
        if likely.field in part.values:
            yield likely, f"part:{part.id}", quantity(part, likely.field)
        if part.positions and likely.field in OF_WAYS:
            yield from ((likely, f"position:{part.id}/{way.key}", getattr(way, likely.field)) for way in part.positions)


def _met(part: Part) -> tuple[Outcome, ...]:
    """The answers about a part where all of its values are likely, else none."""
    asked = [(likely, key, value) for likely, key, value in _stated(part) if value is not None and low(value) != 0]
    if not all(_is_likely(likely, value) for likely, _, value in asked):
        return ()
    return tuple(meets("value", key) for _, key, _ in asked)


_MET = Kept(_met)


def _is_likely(likely: Likely, value: Quantity) -> bool:
    return likely.least <= low(value) and high(value) <= likely.most


@cache
def _likely_of(kind: str) -> tuple[Likely, ...]:
    """What is asked of parts of a kind."""
    return tuple(likely for likely in LIKELY if not likely.kinds or kind in likely.kinds)


def _value(boat: Boat, part: Part, likely: Likely, key: str, value: Quantity) -> Iterator[Outcome]:
    if value is None or low(value) == 0:
        return
    if _is_likely(likely, value):
        yield meets("value", key)
        return
    meant = likely.below if low(value) < likely.least else likely.above
    shown = low(value) if low(value) < likely.least else high(value)
    yield breaks(
        "value",
        key,
        field=value_text(boat.kind(part), likely.field),
        part=boat.name(part),
        value=shown,
        unit=likely.unit,
        meant=meant,
    )


@by_identity
def _run_met(run: Run, _: None) -> tuple[Outcome, ...]:
    """The answer about a run whose length is stated and likely, and whose insulation is no hotter than there is."""
    likely = run.length_m is not None and not _is_long(run) and low(run.insulation_c, 0.0) <= 200
    return (meets("long", f"run:{run.id}"),) if likely else ()


def _is_long(run: Run) -> bool:
    return low(run.length_m, 0.0) > LONGEST_M * (2 if run.length_basis == "round-trip" else 1)


def _run(boat: Boat, run: Run) -> Iterator[Outcome]:
    key = f"run:{run.id}"
    if run.length_m is not None:
        told = breaks("long", key, part=boat.name_run(run), value=low(run.length_m))
        yield told if _is_long(run) else meets("long", key)
    if low(run.insulation_c, 0.0) > 200:
        yield breaks("hot", key, part=boat.name_run(run), value=low(run.insulation_c))


def _returns(boat: Boat) -> Iterator[Outcome]:
    """The outward conductor and the return between the same two parts are about as long as each other."""
    between: dict[frozenset[str], list[Run]] = {}
    for run in boat.network.runs:
        if run.length_m is not None and set(run.poles) <= {"+", "-"} and len(run.poles) == 1:
            between.setdefault(frozenset({run.a.part, run.b.part}), []).append(run)
    for runs in between.values():
        for one, other in combinations(runs, 2):
            if one.poles != other.poles:
                yield _pair(boat, *sorted((one, other), key=lambda run: -low(run.length_m)))


def _pair(boat: Boat, longer: Run, shorter: Run) -> Outcome:
    key = f"run:{longer.id}"
    if low(longer.length_m) <= FACTOR * high(shorter.length_m):
        return meets("unlike-return", key)
    return breaks(
        "unlike-return", key, f"run:{shorter.id}", part=boat.name_run(longer), value=low(longer.length_m),
        other=boat.name_run(shorter), other_value=high(shorter.length_m), factor=FACTOR,
    )  # fmt: skip
