"""The boat with every range of its record at one end: whether an answer holds for all that the record admits.

What a study itself assumes (a weak battery, hot conductors) stays as the study has it; what is not known at all stays unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Literal

import msgspec

from engine.graph.boat import Boat
from engine.model.kept import by_identity
from engine.model.network import Part, Position, Run
from engine.model.quantity import Quantity, high, low

Bias = Literal["most", "least"]
Toward = Literal["fault", "voltage"]
"""What the ends are chosen for: the current of a short circuit, or the voltage left at the loads."""
FALLING = frozenset({"internal_mohm", "full_scale_mv"})
"""The more of it, the less current."""
NAMES = frozenset({"nominal_v", "output_v", "input_v"})
"""Nominal voltages: a range there is what a part is made for, both ends of it."""
LOADS = ("load_dc", "load_ac", "outlet_ac", "starter")
COOLEST_C = 60.0
"""The least insulation that any table has: its conductor is the coolest at its limit."""


def at_end(boat: Boat, bias: Bias, toward: Toward = "fault") -> Boat:
    """The boat with each range at the end that gives most, or least, of what is asked. Itself where it has no range."""
    return boat.derive(_MAKERS[bias, toward]) if boat.derive(_is_ranged) else boat


def ranged_fields(boat: Boat, keys: Iterable[str]) -> tuple[str, ...]:
    """The fields of these things ("run:w3", "part:p4", "position:p4/2") that hold a range."""
    return tuple(dict.fromkeys(field for key in keys for field in _ranged(boat, key)))


def _ranged(boat: Boat, key: str) -> Iterator[str]:
    sort, _, name = key.partition(":")
    part_id, _, way = name.partition("/")
    if sort == "run" and name in boat.runs:
        yield from _in_run(boat.runs[name], None)
    elif part_id in boat.parts:
        in_part, in_ways = _in_part(boat.parts[part_id], None)
        yield from in_part
        yield from (f"{key} rating_a" for _ in (1,) if way in in_ways)


@by_identity
def _in_run(run: Run, _: None) -> tuple[str, ...]:
    found = [field for field in ("length_m", "insulation_c") if _is_range(getattr(run, field))]
    found += ["length_basis"] if _is_vague(run) else []
    return tuple(f"run:{run.id} {field}" for field in found)


@by_identity
def _in_part(part: Part, _: None) -> tuple[tuple[str, ...], frozenset[str]]:
    """The fields of its values, and the keys of the ways with a rating that is a range."""
    fields = tuple(f"part:{part.id} {field}" for field, value in part.values.items() if _is_range(value))
    return fields, frozenset(each.key for each in part.positions if _is_range(each.rating_a))


def _is_range(value: object) -> bool:
    return isinstance(value, tuple)


def _is_vague(run: Run) -> bool:
    """Whether its length may be one way or out and back."""
    return run.length_m is not None and run.length_basis is None


def _is_ranged(boat: Boat) -> bool:
    network = boat.network
    return any(any(_in_part(part, None)) for part in network.parts) or any(
        _in_run(run, None) or run.insulation_c is None for run in network.runs
    )


def _maker(bias: Bias, toward: Toward) -> Callable[[Boat], Boat]:
    def make(boat: Boat) -> Boat:
        parts = tuple(_part(boat, part, bias, toward) for part in boat.network.parts)
        runs = tuple(_run(run, bias) for run in boat.network.runs)
        return Boat(msgspec.structs.replace(boat.network, parts=parts, runs=runs), boat.library)

    return make


_MAKERS: dict[tuple[Bias, Toward], Callable[[Boat], Boat]] = {
    ("most", "fault"): _maker("most", "fault"), ("least", "fault"): _maker("least", "fault"),
    ("most", "voltage"): _maker("most", "voltage"), ("least", "voltage"): _maker("least", "voltage"),
}  # fmt: skip


def _part(boat: Boat, part: Part, bias: Bias, toward: Toward) -> Part:
    draws = toward == "voltage" and boat.role(part) in LOADS
    values = {
        name: _end(value, (bias == "most") != (draws or name in FALLING))
        if isinstance(value, tuple) and name not in NAMES
        else value
        for name, value in part.values.items()
    }
    return msgspec.structs.replace(part, values=values, positions=tuple(_way(way, bias) for way in part.positions))


def _way(way: Position, bias: Bias) -> Position:
    most = bias == "most"
    return msgspec.structs.replace(
        way, rating_a=_end(way.rating_a, most), holder_largest_a=_end(way.holder_largest_a, most)
    )


def _run(run: Run, bias: Bias) -> Run:
    longest = bias == "least"
    basis = run.length_basis
    if _is_vague(run):
        basis = "one-way" if longest else "round-trip"
    insulation = COOLEST_C if run.insulation_c is None and not longest else _end(run.insulation_c, longest)
    return msgspec.structs.replace(
        run, length_m=_end(run.length_m, longest), length_basis=basis, insulation_c=insulation
    )


def _end(value: Quantity, upper: bool) -> Quantity:
    return value if value is None else high(value) if upper else low(value)
