"""Rule joined-ac-dc."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.library.device import DeviceKind
from engine.library.expand import ports_of
from engine.model.network import AC_POLES, DC_POLES, End, Part, Run
from engine.rules.api import Basis, Book, Outcome, Wording, breaks, meets, rule
from engine.rules.each import every_run, itself, of_each


@rule(
    "joined-ac-dc",
    title="AC and DC joined, or in one cable",
    books=("any",),
    basis=(
        Basis(
            "any",
            "ISO 10133:2012 7.8",
            "AC and DC conductors are not in one cable or wiring system unless kept apart.",
            "published",
        ),
        Basis("any", "ABYC E-11, as quoted by a dealer", "AC conductors are kept apart from DC ones.", "secondary"),
    ),
    wordings={
        "one-cable": Wording(
            "danger",
            "{run} carries AC and DC poles in one cable: {poles}.",
            "Lead the AC and the DC in cables of their own.",
        ),
        "wrong-port": Wording(
            "danger",
            "{run} carries {pole}, but {port} of {part} is for {expected}.",
            "Land {run} on a port of its own system.",
        ),
    },
)
@of_each(every_run, itself)
def joined_ac_dc(boat: Boat, book: Book, run: Run) -> Iterator[Outcome]:
    """A fault between an AC and a DC conductor puts mains voltage on every metal part and every hand that trusts twelve
    volts."""
    if _is_mixed(run):
        yield breaks("one-cable", f"run:{run.id}", run=boat.name_run(run), poles=" ".join(run.poles))
    else:
        yield _landing(boat, run) or meets("one-cable", f"run:{run.id}")


def _is_mixed(run: Run) -> bool:
    poles = set(run.poles)
    return bool(poles & DC_POLES and poles & AC_POLES)


def _strange(run: Run, end: End, part: Part, kind: DeviceKind) -> tuple[list[str], tuple[str, ...]]:
    """The poles that the port is not for, and those it is for."""
    expected = next((port.poles for port in ports_of(part, kind) if port.name == end.port), ())
    return [pole for pole in run.poles if expected and not _fits(pole, expected, kind)], expected


def _landing(boat: Boat, run: Run) -> Outcome | None:
    for end in (run.a, run.b):
        part = boat.parts.get(end.part)
        kind = boat.kind(part) if part is not None else None
        strange, expected = _strange(run, end, part, kind) if part is not None and kind is not None else ([], ())
        if part is not None and strange:
            return breaks(
                "wrong-port", f"run:{run.id}", f"part:{part.id}", run=boat.name_run(run), pole=" ".join(strange),
                port=end.port, part=boat.name(part), expected=" ".join(expected),
            )  # fmt: skip
    return None


def _fits(pole: str, expected: tuple[str, ...], kind: DeviceKind) -> bool:
    """A pole fits where the port has it; through an in-line device other poles of the same system pass as well."""
    if pole in expected:
        return True
    same_system = (pole in DC_POLES) == bool(DC_POLES & set(expected)) or pole in ("PE", "BOND")
    return bool(kind.inline) and same_system
