"""The load figures of one thing in words: what `explain` and the window show of a load, a wire, a panel, a bus, a source.

(what it is, the figure with its formula and sources). Knows no window.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from engine.graph.boat import LIVE_POLES, Boat
from engine.messages import tr
from engine.model.network import Part, Run
from engine.studies.conditions import Case
from engine.studies.estimate import Estimate
from engine.studies.load_list import PLACES, rated_of
from engine.studies.load_method import feed_poles, method_of
from engine.studies.load_sums import Sum
from engine.studies.loads import CaseLoads, load_analysis, worst_of

Figure = tuple[str, Estimate]
STATES = {
    "works": "Draws in this condition",
    "stands by": "Stands by in this condition",
    "off": "Off in this condition",
    "not fed": "Not fed in this condition",
}
GROUPS = {
    "A": "column A, in full",
    "B": "column B, the larger of 10 % and its largest load",
    "outlet": "outlets",
    "motor": "motors, with 25 % of the largest",
    "fixed": "fixed appliances",
}


def load_figures(boat: Boat, case: Case, key: str) -> Iterator[Figure]:
    """The figures of a part or run in a case, by its key ("part:p3", "run:w1")."""
    sort, _, name = key.partition(":")
    here = CaseLoads(boat, case, load_analysis(boat).loads)
    if sort == "run" and name in boat.runs:
        yield from _run(boat, here, boat.runs[name])
    elif sort == "part" and name in boat.parts:
        part = boat.parts[name]
        if name in here.loads:
            yield from _load(here, part)
        if boat.role(part) in PLACES:
            yield from _place(boat, here, part)


def _load(here: CaseLoads, part: Part) -> Iterator[Figure]:
    load, drawn = here.loads[part.id], here.drawn(part)
    yield tr("Running current"), load.running_a
    if load.starting_a is not None:
        yield tr("Starting current"), load.starting_a
    yield tr("Stand-by current"), load.standby_a
    yield tr(STATES[drawn.state]), drawn.amount


def _place(boat: Boat, here: CaseLoads, part: Part) -> Iterator[Figure]:
    for pole in sorted({node[2] for node in here.reach.wires if node[0] == part.id}):
        found = here.through(part, pole)
        if found.items or found.perhaps:
            yield from _sums(found, pole)
            yield _worst(boat, lambda case, at=pole: case.through(part, at), pole)  # type: ignore[misc]
    rated = rated_of(boat, part)
    if rated is not None:
        yield tr("May carry for hours"), rated
    if boat.role(part) in ("dc_panel", "ac_panel"):
        for pole in feed_poles(boat, part):
            yield from _method(boat, part, pole)


def _run(boat: Boat, here: CaseLoads, run: Run) -> Iterator[Figure]:
    for pole in (pole for pole in run.poles if pole in LIVE_POLES):
        found = here.over(run.id, pole)
        if found.items or found.perhaps:
            yield from _sums(found, pole)
            yield _worst(boat, lambda case, at=pole: case.over(run.id, at), pole)  # type: ignore[misc]


def _sums(found: Sum, pole: str) -> Iterator[Figure]:
    yield tr("Loads in this condition, {pole}").format(pole=pole), found.estimate
    yield tr("The same all at once, {pole}").format(pole=pole), found.running
    yield tr("… while the largest starts, {pole}").format(pole=pole), found.starting


def _worst(boat: Boat, of: Callable[[CaseLoads], Sum], pole: str) -> Figure:
    cases = load_analysis(boat).each
    worst = worst_of(cases, map(of, cases))
    return tr("Worst condition, {pole}: {name}").format(pole=pole, name=worst.condition), worst.sum.estimate


def _method(boat: Boat, panel: Part, pole: str) -> Iterator[Figure]:
    found = method_of(boat, panel, pole)
    for name, value in found.groups:
        yield tr("Feeder method, {pole}: {group}").format(pole=pole, group=tr(GROUPS[name])), value
    yield tr("Feeder method, {pole}: in all").format(pole=pole), found.total
    if found.spare_ways:
        yield tr("… with its spare ways ({count})").format(count=found.spare_ways), found.with_spares
