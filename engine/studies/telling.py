"""What a solution and a live boat come to, in plain sentences, each with the key of what it is about. Knows no window."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from engine.graph.boat import Boat
from engine.graph.live import Live, loads
from engine.messages import counted, enumerated, tr
from engine.model.network import Part
from engine.studies.results import Solution
from engine.studies.shown import amps, fullness, most_in, percent, volts

MOST_NAMES = 8
"""So many things are named; of more the number is said."""

STATES: tuple[tuple[str, str], ...] = (
    ("dead", "Live, but no source gives {names} anything in this condition."),
    ("source-unknown", "{names}: fed, but what the source gives is not known, and so neither is what they get."),
    ("no-return", "{names}: fed, but without a return to the source; nothing flows."),
    ("not-known", "Not known is the current of {names}; it is counted as none."),
)


class Told(msgspec.Struct, frozen=True):
    """One sentence, and what it is about ("part:p3"; "" for the boat). `grave`: nothing works as it should there."""

    text: str
    key: str = ""
    grave: bool = False


def names(boat: Boat, parts: Iterable[Part]) -> str:
    """Parts by name, in their order: all of them, or the first ones and how many more."""
    told = [boat.name(part) for part in parts]
    more = len(told) - MOST_NAMES
    if more <= 1:
        return enumerated(told)
    return tr("{names} and {more} more").format(names=enumerated(told[:MOST_NAMES]), more=more)


def live_told(boat: Boat, shown: Live) -> tuple[Told, ...]:
    """What is live and what is dead, by source."""
    alive, dead = loads(boat, shown)
    head = tr("{count} of {all} loads are live.").format(count=len(alive), all=len(alive) + len(dead))
    return (Told(head), *_by_source(boat, shown, alive), *_dead(boat, dead))


def _by_source(boat: Boat, shown: Live, alive: tuple[Part, ...]) -> Iterator[Told]:
    """For each set of sources the loads that it feeds."""
    groups: dict[frozenset[str], list[Part]] = {}
    for part in alive:
        groups.setdefault(shown.feeds(part), []).append(part)
    for sources, fed in groups.items():
        from_them = names(boat, (part for part in boat.network.parts if part.id in sources))
        text = tr("From {sources}: {names}.").format(sources=from_them, names=names(boat, fed))
        yield Told(text, f"part:{fed[0].id}" if len(fed) == 1 else "")


def _dead(boat: Boat, dead: tuple[Part, ...]) -> Iterator[Told]:
    if dead:
        yield Told(tr("Dead: {names}.").format(names=names(boat, dead)), f"part:{dead[0].id}" if len(dead) == 1 else "")


def opened_told(boat: Boat, name: str, dead: tuple[Part, ...], less: tuple[tuple[Part, str], ...]) -> tuple[Told, ...]:
    """What goes dead when one device opens, and what loses a source by it."""
    text = tr("With {name} open these go dead: {names}.") if dead else tr("With {name} open nothing else goes dead.")
    lost = [
        Told(tr("{load} stays live, no longer from {sources}.").format(load=boat.name(part), sources=sources),
             f"part:{part.id}") for part, sources in less
    ]  # fmt: skip
    return (Told(text.format(name=name, names=names(boat, dead))), *lost)


def solution_told(boat: Boat, solution: Solution, shown: Live) -> tuple[Told, ...]:
    """The starting motor, what is wrong, the largest drop, the fullest runs, the sources, what is not known. What is dead
    with the switches so is said by live_told."""
    return (
        *_starting(boat, solution), *_gaps(solution), *_states(boat, solution, shown), *_lowest(boat, solution),
        *_fullest(boat, solution), *_sources(boat, solution), *_missing(solution),
    )  # fmt: skip


def _starting(boat: Boat, solution: Solution) -> Iterator[Told]:
    for motor in sorted(solution.case.starting):
        load = solution.loads.get(motor)
        if load is None:
            continue
        name, key = boat.name(load.part), f"part:{motor}"
        if load.state != "fed":
            yield Told(tr("{name} cannot start: it has no voltage with the switches so.").format(name=name), key, True)
            continue
        text = tr(
            "While {name} starts it has {volts} and draws {amps}; {drop} is lost on the way from {source}, "
            "which stands at {source_v}."
        )
        source = boat.name(boat.parts[load.source]) if load.source else tr("its source")
        yield Told(
            text.format(
                name=name, volts=volts(load.volts_v), amps=amps(load.current_a), drop=volts(load.drop_v), source=source,
                source_v=volts(load.source_v),
            ), key,
        )  # fmt: skip


def _gaps(solution: Solution) -> Iterator[Told]:
    """Collapsed and overloaded supplies; dead loads and missing fields are told apart from these."""
    for gap in solution.gaps:
        if gap.code not in ("missing", "no-source"):
            key = next((subject for subject in gap.subjects if subject.startswith("part:")), "")
            yield Told(gap.text, key, True)


def _states(boat: Boat, solution: Solution, shown: Live) -> Iterator[Told]:
    """Loads that are live and yet have no answer."""
    for state, text in STATES:
        there = [load.part for load in solution.loads.values() if load.state == state and shown.feeds(load.part)]
        if there:
            said = tr(text).format(names=names(boat, there))
            yield Told(said, f"part:{there[0].id}", state != "not-known")


def _lowest(boat: Boat, solution: Solution) -> Iterator[Told]:
    """The load to which most is lost, a starting one apart."""
    fed = [
        load
        for load in solution.loads.values()
        if load.state == "fed" and load.part.id not in solution.case.starting and load.current_a > 0
    ]
    if fed:
        worst = max(fed, key=lambda load: load.drop_percent)
        text = tr("The largest drop is to {name}: {drop}; it has {volts}.").format(
            name=boat.name(worst.part), volts=volts(worst.volts_v), drop=percent(worst.drop_percent)
        )
        yield Told(text, f"part:{worst.part.id}")


def _fullest(boat: Boat, solution: Solution) -> Iterator[Told]:
    full = {run.id: fullness(boat, solution, run) for run in boat.network.runs if most_in(solution, run)}
    known = {run: share for run, share in full.items() if share is not None}
    over = [run for run, share in known.items() if share > 100]
    for run in over[:MOST_NAMES]:
        yield _run_told(boat, solution, run, known[run])
    if known and not over:
        run = max(known, key=lambda each: known[each])
        yield _run_told(boat, solution, run, known[run])
    unknown = [run for run, share in full.items() if share is None]
    if unknown:
        text = counted(
            "Of 1 run it is not known what it may carry.",
            "Of {count} runs it is not known what they may carry.",
            len(unknown),
        )
        yield Told(text, f"run:{unknown[0]}")


def _run_told(boat: Boat, solution: Solution, run: str, share: float) -> Told:
    carries = amps(most_in(solution, boat.runs[run]))
    words = (
        tr("{run} carries {amps}, {share} of what it may carry.")
        if share > 100
        else tr("The fullest run is {run}: {amps}, {share} of what it may carry.")
    )
    text = words.format(run=boat.name_run(boat.runs[run]), amps=carries, share=percent(share, 0))
    return Told(text[:1].upper() + text[1:], f"run:{run}", share > 100)


def _sources(boat: Boat, solution: Solution) -> Iterator[Told]:
    for part, answers in solution.supplies.items():
        for each in answers:
            giving = not each.mode or each.limit_a is not None
            if giving and abs(each.current_a) >= 0.005:
                words = (
                    tr("{name} gives {amps} at {volts}.")
                    if each.current_a > 0
                    else tr("{name} takes {amps} at {volts}.")
                )
                text = words.format(
                    name=boat.name(each.part), amps=amps(abs(each.current_a)), volts=volts(each.volts_v)
                )
                yield Told(text, f"part:{part}")


def _missing(solution: Solution) -> Iterator[Told]:
    fields = {field for gap in solution.gaps if gap.code == "missing" for field in gap.lacks}
    if fields:
        first = sorted(fields)[0].partition(" ")[0]
        text = counted(
            "1 value is not known; voltages are at best what is shown.",
            "{count} values are not known; voltages are at best what is shown.",
            len(fields),
        )
        yield Told(text, first)
