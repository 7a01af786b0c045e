"""The rulebook's way to size the feeder of a panel: two columns for DC, groups by kind of appliance for AC, per leg.

The method and its lists are recalled, not read: every result says "from memory". Whatever the lists do not name counts in
full. Independent of the operating conditions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

import msgspec

from engine.electrics.sources import Source, number_text
from engine.electrics.tables import Row, row_source, table_rows
from engine.graph.boat import Boat
from engine.model.network import AC_LINES, Part, Position
from engine.studies.estimate import Estimate, estimated, exactly, over, plus, scaled, text_of, times
from engine.studies.load_sums import Item, Sum
from engine.studies.loads import in_order, load_analysis
from engine.studies.values import field_source

SPARE_SHARE = 0.8
"""Of its largest device that a spare or prepared way may carry one day."""
SPARE = Source("common practice", "a spare way counts at 80 % of the largest device it takes", "memory")
POOLED_SHARE = 0.1
SMALL_APPLIANCE_W = 1500.0
MANY_FIXED, FIXED_SHARE = 4, 0.6
LARGEST_MOTOR_SHARE = 0.25
METHOD = {
    "dc": Source("ABYC E-11", "load analysis of a panel feeder (recalled)", "memory"),
    "ac": Source("ABYC E-11", "AC load calculation (recalled)", "memory"),
}
Column = Literal["A", "B", "outlet", "motor", "fixed"]


class Line(msgspec.Struct, frozen=True):
    """One load of the panel: the column or group it counts in, why, and its full current."""

    part: Part
    column: Column
    why: str
    amount: Estimate


class Method(msgspec.Struct, frozen=True):
    """The feeder of one panel, one live pole of it: what each column counts for, their total, and with the spare ways."""

    part: Part
    pole: str
    lines: tuple[Line, ...]
    groups: tuple[tuple[str, Estimate], ...]
    """(name of the column or group, what it counts for)."""
    total: Estimate
    spares: Estimate
    spare_ways: int

    @property
    def with_spares(self) -> Estimate:
        """The total with every spare and prepared way, A."""
        return plus(self.total, self.spares)


def methods_of(boat: Boat) -> tuple[Method, ...]:
    """The method for every panel and live pole of its feed, DC first, by designation."""
    panels = [part for role in ("dc_panel", "ac_panel") for part in in_order(boat.with_role(role))]
    return tuple(method_of(boat, panel, pole) for panel in panels for pole in feed_poles(boat, panel))


def feed_poles(boat: Boat, panel: Part) -> tuple[str, ...]:
    """The live poles of a panel's feed."""
    feed = next((port.poles for port in boat.ports(panel) if port.name == "feed"), ())
    return tuple(pole for pole in feed if pole == "+" or pole in AC_LINES)


def method_of(boat: Boat, panel: Part, pole: str) -> Method:
    """The method for one pole of a panel."""
    taken = load_analysis(boat).full.through(panel, pole)
    lines = tuple(_line(item, pole) for item in _items(taken))
    groups = _ac(lines) if pole in AC_LINES else two_columns(lines)
    total = plus(groups[0][1], *(value for _, value in groups[1:]))
    method = METHOD["ac" if pole in AC_LINES else "dc"]
    total = msgspec.structs.replace(total, formula=_formula(groups), sources=(method,))
    ways = [way for way in panel.positions if way.state in ("spare", "prepared")]
    return Method(
        panel, pole, lines, groups, total, _sum([spare_way(boat, panel, way) for way in ways], SPARE), len(ways)
    )


def _items(taken: Sum) -> tuple[Item, ...]:
    """What it feeds, also what another way may feed: the feeder has to carry it all."""
    return tuple({item.part.id: item for item in (*taken.items, *taken.perhaps)}.values())


def _line(item: Item, pole: str) -> Line:
    row = _row("ac" if pole in AC_LINES else "dc", item.part.kind)
    amount = item.full
    if row["column"] == "outlet" and item.part.values.get("where") == "galley":
        amount = _small_appliances(item, amount)
    sources = tuple(dict.fromkeys((*amount.sources, row_source(row))))
    return Line(item.part, row["column"], row["item"], msgspec.structs.replace(amount, sources=sources))  # type: ignore[arg-type]


def _row(system: str, kind: str) -> Row:
    rows = [row for row in table_rows("load_analysis") if row["system"] == system and row["kind"] in (kind, "")]
    return rows[0]


def _small_appliances(item: Item, amount: Estimate) -> Estimate:
    """A galley circuit counts 1500 W, or what is stated where that is more."""
    assert item.load is not None
    rule = over(exactly(SMALL_APPLIANCE_W, "W"), item.load.volts_v, "A")
    return larger(amount, rule)


def two_columns(lines: Sequence[Line]) -> tuple[tuple[str, Estimate], ...]:
    """Column A in full; of column B the larger of 10 % of its sum and its largest item."""
    a, b = ([line for line in lines if line.column == column] for column in ("A", "B"))
    whole = _sum_of(b, "dc")
    tenth = scaled(whole, POOLED_SHARE, "A", f"{number_text(POOLED_SHARE)} × {text_of(whole)}")
    counted = larger(tenth, *(line.amount for line in b))
    if b:
        top = max(b, key=lambda line: (line.amount.most, line.amount.middle))
        text = f"the larger of {tenth.formula} and the largest, {top.part.designation} {text_of(top.amount)}"
        counted = msgspec.structs.replace(counted, formula=text)
    return ("A", _sum_of(a, "dc")), ("B", counted)


def _ac(lines: Sequence[Line]) -> tuple[tuple[str, Estimate], ...]:
    """Outlets as stated; motors with 25 % of the largest; fixed appliances, of four or more 60 %."""
    outlets, motors, fixed = (
        [line for line in lines if line.column == group] for group in ("outlet", "motor", "fixed")
    )
    most = larger(*(line.amount for line in motors)) if motors else exactly(0.0, "A")
    added = scaled(most, LARGEST_MOTOR_SHARE, "A", f"25 % of {text_of(most)}")
    appliances = _sum_of(fixed, "ac")
    if len(fixed) >= MANY_FIXED:
        appliances = scaled(
            appliances, FIXED_SHARE, "A", f"60 % of {text_of(appliances)}, {len(fixed)} fixed appliances"
        )
    return (
        ("outlet", _sum_of(outlets, "ac")),
        ("motor", plus(_sum_of(motors, "ac"), added)),
        ("fixed", appliances),
    )


def larger(first: Estimate, *others: Estimate) -> Estimate:
    """The largest of several, whatever each turns out to be."""
    made = (first, *others)
    if not others:
        return first
    return Estimate(
        max(each.least for each in made), max(each.middle for each in made), max(each.most for each in made), "A",
        "the larger of " + ", ".join(each.formula for each in made),
        tuple(dict.fromkeys(source for each in made for source in each.sources)),
        tuple(dict.fromkeys(lack for each in made for lack in each.lacks)),
    )  # fmt: skip


def _sum_of(lines: Sequence[Line], system: str) -> Estimate:
    """The sum of some lines, its terms by the designations of the loads."""
    terms = [
        msgspec.structs.replace(
            line.amount, formula=f"{line.part.designation} {text_of(line.amount, 3).removesuffix(' A')}"
        )
        for line in lines
    ]
    return _sum(terms, METHOD[system])


def _sum(values: Sequence[Estimate], source: Source) -> Estimate:
    if not values:
        return exactly(0.0, "A", "0 A", source)
    made = plus(values[0], *values[1:])
    return msgspec.structs.replace(made, sources=tuple(dict.fromkeys((*made.sources, source))))


def _formula(groups: Iterable[tuple[str, Estimate]]) -> str:
    return " + ".join(f"{name}: {text_of(value)}" for name, value in groups)


def spare_way(boat: Boat, panel: Part, way: Position) -> Estimate:
    """What a spare or prepared way counts for: 80 % of the largest device it takes; unknown where that is."""
    fuse = way.device == "fuse"
    largest = way.holder_largest_a if fuse else way.rating_a
    field = f"position:{panel.id}/{way.key} {'holder_largest_a' if fuse else 'rating_a'}"
    known = estimated(largest, "A", field, field_source(boat, panel, f"way {way.key}"))
    return times(exactly(SPARE_SHARE, ""), known, "A")
