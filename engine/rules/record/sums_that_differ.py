"""Rule sums-that-differ."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.tables import Row, table_rows
from engine.graph.boat import Boat, quantity
from engine.model.network import Part, Run
from engine.model.quantity import Quantity, high, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, meets, rule
from engine.rules.bounds import own_conductors

TOLERANCE = 0.2
POWERS = (("power_w", "running_a"), ("power_w", "rated_a"), ("power_va", "output_a"))
"""Pairs that one plate states: power, and the current at the nominal voltage."""


@rule(
    "sums-that-differ",
    title="Numbers on one thing that do not add up",
    books=("any",),
    basis=(
        Basis("any", "Ohm's law and arithmetic", "Power is voltage times current; a bank holds what its batteries hold.",
              "computed"),
        Basis("any", "a battery size chart", "The capacity range of each group size.", "secondary"),
    ),
    wordings={
        "power": Wording(
            "requirement",
            "{part} states {power} and {current} at {voltage}: that is {product}.",
            "Look at the plate again: one of the three is wrong.",
            "{current} × {voltage} = {product}, not {power}",
        ),
        "bank": Wording(
            "advice",
            "{part} states {capacity} Ah; {count} in parallel of group {group} hold {least} to {most} Ah.",
            "Count the batteries, and enter the capacity of the whole bank.",
            "{count} × group {group} = {least} to {most} Ah",
        ),
        "main": Wording(
            "advice",
            "{part} states a main device of {rating} A, and that it has none.",
            "Enter what is fitted.",
        ),
        "bundle": Wording(
            "advice",
            "{run} states {bundled} current-carrying conductors bundled together; it has {own} itself.",
            "Count the conductors in the bundle, its own included.",
            "{bundled} < {own}",
        ),
    },
    parameters=(Parameter("tolerance", TOLERANCE, "of the sum", "common practice, no source", "practice"),),
    needs="Nothing more than it finds: a sum with an unknown in it is passed over.",
)  # fmt: skip
def sums_that_differ(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Where a plate says three numbers of which two make the third, a slip shows itself. Better here than as a fuse that is
    chosen by the wrong one."""
    yield from boat.carry_records("sums of parts", lambda: tuple(_of_parts(boat)))
    for run in boat.network.runs:
        if run.bundled is not None:
            yield _bundle(boat, run)


def _of_parts(boat: Boat) -> Iterator[Outcome]:
    for part in boat.network.parts:
        yield from _powers(boat, part)
        if part.kind == "battery_bank":
            yield from _bank(boat, part)
        if part.values.get("main_device") == "none" and quantity(part, "main_rating_a") is not None:
            rating = high(quantity(part, "main_rating_a"))
            yield breaks("main", f"part:{part.id}", part=boat.name(part), rating=rating)


def _powers(boat: Boat, part: Part) -> Iterator[Outcome]:
    volts, factor = quantity(part, "nominal_v"), quantity(part, "power_factor")
    for power_name, current_name in POWERS:
        power, current = quantity(part, power_name), quantity(part, current_name)
        if power is None or current is None or volts is None:
            continue
        # an AC plate without a power factor may state any from 0.5 to 1
        share = (
            (low(factor, 0.5), high(factor, 1.0))
            if boat.role(part) in ("load_ac", "outlet_ac", "ac_source")
            else (1.0, 1.0)
        )
        least, most = low(volts) * low(current) * share[0], high(volts) * high(current) * share[1]
        told = {"part": boat.name(part), "power": f"{_text(power)} W", "current": f"{_text(current)} A",
                "voltage": f"{_text(volts)} V", "product": f"{(least + most) / 2:.4g} W"}  # fmt: skip
        agree = low(power) <= most * (1 + TOLERANCE) and high(power) >= least * (1 - TOLERANCE)
        key = f"part:{part.id}"
        yield meets("power", key) if agree else breaks("power", key, **told)


def _bank(boat: Boat, part: Part) -> Iterator[Outcome]:
    group, capacity, count = part.values.get("size_group"), quantity(part, "capacity_ah"), quantity(part, "in_parallel")
    row = next((row for row in table_rows("batteries") if _is_capacity_of(row, str(group))), None)
    if row is None or capacity is None or count is None or part.values.get("chemistry") == "LiFePO4":
        return
    least, most = low(count) * float(row["low"]), high(count) * float(row["high"])
    if low(capacity) <= most * (1 + TOLERANCE) and high(capacity) >= least * (1 - TOLERANCE):
        yield meets("bank", f"part:{part.id}")
    else:
        yield breaks("bank", f"part:{part.id}", part=boat.name(part), capacity=_text(capacity), count=low(count),
                     group=str(group), least=least, most=most)  # fmt: skip


def _is_capacity_of(row: Row, group: str) -> bool:
    return row["topic"].startswith("capacity") and row["item"] == f"BCI {group}"


def _bundle(boat: Boat, run: Run) -> Outcome:
    own, key = own_conductors(run), f"run:{run.id}"
    if high(run.bundled) >= own or not set(run.poles) - {"PE", "BOND"}:
        return meets("bundle", key)
    return breaks("bundle", key, run=boat.name_run(run), bundled=high(run.bundled), own=own)


def _text(value: Quantity) -> str:
    return f"{low(value):.4g}" if low(value) == high(value) else f"{low(value):.4g} to {high(value):.4g}"
