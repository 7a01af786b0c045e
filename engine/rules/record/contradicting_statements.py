"""Rule contradicting-statements."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from engine.graph.boat import Boat
from engine.model.network import Evidence
from engine.model.quantity import Value, as_quantity, overlap
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.wording import field_of


@rule(
    "contradicting-statements",
    title="Two statements that cannot both be true",
    books=("any",),
    basis=(
        Basis(
            "any", "common practice", "Where two records disagree, both are kept and the boat is looked at.", "practice"
        ),
    ),
    wordings={
        "contradiction": Wording(
            "requirement",
            "{subject}: {field} is {first} ({first_kind}) and {second} ({second_kind}).",
            "Look at the boat, settle which is true, and keep the other with a note.",
        )
    },
)
def contradicting_statements(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A label that says 40 and a nameplate that says 60 are two different fuses. To choose one quietly would be to guess with
    somebody's boat."""
    for part in boat.network.parts:
        if part.evidence:
            yield from _fields(boat, f"part:{part.id}", boat.name(part), part.evidence, part.values)
    for run in boat.network.runs:
        if run.evidence:
            values = {name: getattr(run, name, None) for name in run.evidence}
            yield from _fields(boat, f"run:{run.id}", boat.name_run(run), run.evidence, values)


def _fields(
    boat: Boat, key: str, name: str, evidence: Mapping[str, tuple[Evidence, ...]], values: Mapping[str, Value]
) -> Iterator[Outcome]:
    for field, statements in evidence.items():
        said = [*_used(values.get(field)), *((one.value, one.kind) for one in statements if one.value is not None)]
        clash = _clash(said)
        if clash is None:
            yield meets("contradiction", key)
        else:
            (first, first_kind), (second, second_kind) = clash
            yield breaks(
                "contradiction", key, subject=name, field=field_of(key, field, boat), first=_text(first), first_kind=first_kind,
                second=_text(second), second_kind=second_kind,
            )  # fmt: skip


def _used(value: Value) -> Iterable[tuple[Value, str]]:
    return () if value is None else ((value, "on the drawing"),)


def _clash(said: list[tuple[Value, str]]) -> tuple[tuple[Value, str], tuple[Value, str]] | None:
    for index, (first, kind) in enumerate(said):
        for second, other in said[index + 1 :]:
            if not _agree(first, second):
                return (first, kind), (second, other)
    return None


def _agree(first: Value, second: Value) -> bool:
    a, b = as_quantity(first), as_quantity(second)
    if a is not None and b is not None:
        return overlap(a, b, tolerance=1e-6)
    return first == second


def _text(value: Value) -> str:
    if isinstance(value, tuple):
        return f"{value[0]:g} to {value[1]:g}"
    return f"{value:g}" if isinstance(value, float) else str(value)
