"""What a time-current chart shows: the devices between a short circuit and its source, what the conductor stands, how a
motor behind it starts. Faults behind the same devices share one chart, over the widest range and with the weakest conductor.

Knows no millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from engine.electrics.time_current import Band, Opening, Withstand, opening_of
from engine.graph.boat import Boat, quantity
from engine.messages import tr
from engine.model.network import Part, Run
from engine.model.quantity import high, low
from engine.studies.guards import Guard
from engine.studies.protection import Fault, faults
from engine.studies.selectivity import guard_name
from engine.studies.withstand import stands
from engine.units import sizes_shown

STARTS_S = 1.0
"""How long a motor is drawn to start where the drawing does not say (common practice, no source)."""

FUSE_SAYS_S, BREAKER_SAYS_S = 240.0, 1.0
"""A last standard point so late still tells something of a short circuit: a fuse's energy is carried on from there."""


class Curve(msgspec.Struct, frozen=True):
    """One device of the chart, or several alike. `bands`: its limits, none where no table knows its class."""

    name: str
    series: str
    bands: tuple[Band, ...]

    def opening(self, current_a: float) -> Opening:
        """When it opens at a current, A."""
        return opening_of(self.bands, current_a)


class Conductor(msgspec.Struct, frozen=True):
    """The weakest conductor behind the nearest device: what it stands with the lowest and the highest k."""

    name: str
    least: Withstand
    best: Withstand


class Start(msgspec.Struct, frozen=True):
    """A motor's start, A; `taken`: the drawing does not say how long it lasts."""

    name: str
    running_a: float
    starting_a: float
    seconds: float
    taken: bool


class Chart(msgspec.Struct, frozen=True):
    """Everything on one chart. `curves`: the nearest device first. `least_a` 0 and `most_a` infinite where not known."""

    runs: tuple[Run, ...]
    curves: tuple[Curve, ...]
    conductor: Conductor | None
    start: Start | None
    least_a: float
    most_a: float

    @property
    def drawn(self) -> tuple[Curve, ...]:
        """The devices whose limits a table knows."""
        return tuple(each for each in self.curves if each.bands)


def chart_of(boat: Boat, found: Sequence[Fault]) -> Chart:
    """The chart of faults that lie behind the same sort of devices."""
    runs = tuple({fault.run.id: fault.run for fault in found}.values())
    rows = list(zip(*(fault.guards for fault in found), strict=True))
    return Chart(
        runs, tuple(_curve(boat, row) for row in rows), _weakest(boat, runs), _start(boat, found),
        min(fault.least_a for fault in found), max(fault.most_a for fault in found),
    )  # fmt: skip


def _curve(boat: Boat, guards: Sequence[Guard]) -> Curve:
    alike = tuple({guard.key: guard for guard in guards}.values())
    series = tuple(dict.fromkeys(each.title for each in guards[0].bands))
    return Curve(
        names_of(boat, alike), tr(" or ").join(series) or tr("no time limits known for its class"), guards[0].bands
    )


def names_of(boat: Boat, alike: Sequence[Guard]) -> str:
    """Devices of one rating in a few words: "F2 (200 A)", "A1.1–4, 6, 7 (10 A)"."""
    first = alike[0]
    if len(alike) == 1 or not all(guard.position for guard in alike):
        return ", ".join(guard_name(boat, guard) for guard in alike)
    ways = ", ".join(_spans([guard.position for guard in alike]))
    return guard_name(boat, first).replace(f".{first.position} (", f".{ways} (")


def _spans(ways: Iterable[str]) -> list[str]:
    """Ways in order, three and more in a row as a span."""
    numbers = sorted(int(way) for way in ways if way.isdecimal())
    rows: list[list[int]] = []
    for number in numbers:
        if rows and rows[-1][-1] == number - 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    texts = [f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(map(str, row)) for row in rows]
    return [*texts, *(way for way in ways if not way.isdecimal())]


def _weakest(boat: Boat, runs: Iterable[Run]) -> Conductor | None:
    """That which stands least; None where one of them cannot be told."""
    known = [(run, stands(run)) for run in runs]
    if any(each is None for _, each in known):
        return None
    found = [(run, *each) for run, each in known if each is not None]
    run, least, best = min(found, key=lambda each: each[1].energy_a2s)
    return Conductor(f"{boat.name_run(run)}, {sizes_shown(run.size)}", least, best)


def _start(boat: Boat, found: Iterable[Fault]) -> Start | None:
    """The start that takes most, of the motors that the runs end at."""
    starts = [start for fault in found if (start := start_of(boat, boat.parts[fault.far[0]]))]
    return max(starts, key=lambda each: each.starting_a, default=None)


def start_of(boat: Boat, part: Part) -> Start | None:
    """How a motor starts; None where the drawing says nothing of it."""
    starting, running = quantity(part, "starting_a"), quantity(part, "running_a")
    if starting is None or high(starting) <= 0:
        return None
    seconds = quantity(part, "duration_s")
    lasts = high(seconds, STARTS_S)
    return Start(part.designation or part.id, max(low(running, 0.0), 0.01), high(starting), lasts, seconds is None)


def charts(boat: Boat) -> tuple[Chart, ...]:
    """A chart for every sort of chain of which a table says how soon the nearest opens on a short circuit."""
    return tuple(chart_of(boat, group) for group in chains(boat).values() if says_enough(group[0].guards[0]))


def says_enough(guard: Guard) -> bool:
    """Whether a table limits how soon it opens on a short circuit; else it only says when an overload ends."""
    return bool(guard.bands) and all(_tells(each) for each in guard.bands)


def _tells(limits: Band) -> bool:
    most = limits.most[-1].seconds if limits.most else float("inf")
    return most <= (FUSE_SAYS_S if limits.element == "fuse" else BREAKER_SAYS_S)


def without_limits(boat: Boat) -> tuple[Guard, ...]:
    """The devices of which no table says how soon they open on a short circuit, each once."""
    listed = (guard for fault in faults(boat).values() for guard in fault.guards if not says_enough(guard))
    return tuple({guard.key: guard for guard in listed}.values())


def chains(boat: Boat) -> Mapping[tuple[object, ...], list[Fault]]:
    """The faults by the devices before them: alike where the nearest is of one part, series and rating, and what is
    behind it the same."""
    found: dict[tuple[object, ...], list[Fault]] = {}
    for fault in faults(boat).values():
        if fault.guards:
            near, *behind = fault.guards
            key = (near.part.id, near.rating_a, near.bands, *(guard.key for guard in behind))
            found.setdefault(key, []).append(fault)
    return found
