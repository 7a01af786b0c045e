"""A solved network as annotation of a sheet: volts, amps and what is lost, or how full each run is. Knows no look.

Whatever has no value says why in two words; the sentence is in studies/telling.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.drawing.annotate import Annotation
from engine.drawing.overlay import heat_class
from engine.graph.boat import LIVE_POLES, Boat
from engine.messages import tr
from engine.model.network import Part, Run
from engine.studies.loading import allowed
from engine.studies.results import LoadAnswer, Solution, SupplyAnswer
from engine.studies.shown import amps, lost_in, millivolts, most_in, percent, volts

STANDING = frozenset({"bus", "dc_panel", "ac_panel"})
"""Roles beside which the voltage that stands there is written."""

LEAST_LOSS_V = 0.0005
LEAST_DROP = 0.05
"""A smaller drop, per cent, is not written."""

WHY_NOT: Mapping[str, str] = {
    "dead": "no source",
    "source-unknown": "source not known",
    "no-return": "no return",
    "collapsed": "supply collapses",
    "not-known": "current not known",
}


def volts_annotation(boat: Boat, solution: Solution) -> Annotation:
    """Volts at loads, sources, buses and panels; amps and the volts lost in each run that carries something."""
    values = {run.id: forms for run in boat.network.runs if (forms := _run_forms(solution, run))}
    beside = {f"part:{part.id}": text for part in boat.network.parts if (text := _part_text(boat, solution, part))}
    return Annotation(values=values, beside=beside)


def _run_forms(solution: Solution, run: Run) -> tuple[str, ...]:
    current = most_in(solution, run)
    if not current:
        return ()
    lost = lost_in(solution, run)
    return (f"{amps(current)}, −{millivolts(lost)}", amps(current)) if lost >= LEAST_LOSS_V else (amps(current),)


def _part_text(boat: Boat, solution: Solution, part: Part) -> str:
    load = solution.loads.get(part.id)
    if load is not None:
        return _load_text(load)
    given = next(
        (each for each in solution.supplies.get(part.id, ()) if not each.mode or each.limit_a is not None), None
    )
    if given is not None:
        return _supply_text(given)
    return _standing_text(boat, solution, part) if boat.role(part) in STANDING else ""


def _load_text(load: LoadAnswer) -> str:
    if load.state != "fed":
        return tr(WHY_NOT[load.state]) if load.state in WHY_NOT else ""
    lost = f", −{percent(load.drop_percent)}" if load.drop_percent >= LEAST_DROP else ""
    return f"{volts(load.volts_v)}{lost}"


def _supply_text(given: SupplyAnswer) -> str:
    if abs(given.current_a) < 0.005:
        return volts(given.volts_v)
    words = tr("{volts}, gives {amps}") if given.current_a > 0 else tr("{volts}, takes {amps}")
    return words.format(volts=volts(given.volts_v), amps=amps(abs(given.current_a)))


def _standing_text(boat: Boat, solution: Solution, part: Part) -> str:
    """The voltage at the first live pole of a bus or panel."""
    nodes = boat.terminals_of(part, LIVE_POLES)
    found = next((value for node in nodes if (value := solution.volts_at(node)) is not None), None)
    return "" if found is None else volts(found)


def loading_annotation(boat: Boat, solution: Solution) -> Annotation:
    """How full each run is, of what it may carry; a query where that is not known."""
    told = dict(_loadings(boat, solution))
    return Annotation(
        values={run: forms for run, (forms, _) in told.items()}, heat={run: heat for run, (_, heat) in told.items()}
    )


def _loadings(boat: Boat, solution: Solution) -> Iterator[tuple[str, tuple[tuple[str, ...], int]]]:
    for run in boat.network.runs:
        current = most_in(solution, run)
        if not current:
            continue
        may = allowed(boat, run).allowed_a
        if may is None:
            yield run.id, ((tr("{amps} of ? A").format(amps=amps(current)), "? %"), 0)
            continue
        share = 100 * current / may if may > 0 else float("inf")
        full = percent(share, 0) if share >= 1 else tr("< 1 %")
        yield (
            run.id,
            (
                (tr("{full}, {amps} of {may}").format(full=full, amps=amps(current), may=amps(may)), full),
                heat_class(share),
            ),
        )
