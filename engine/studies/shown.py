"""How volts, amps and per cents are shown short, and what a run carries and loses in all its cores. Knows no sheet."""

from __future__ import annotations

from engine.graph.boat import Boat
from engine.model.network import AC_POLES, Run
from engine.studies.loading import loading
from engine.studies.results import Flow, Solution

CARRYING = AC_POLES | {"+", "-"}
LEAST_A = 0.0005
"""A conductor that carries less is at rest."""


def amps(current_a: float) -> str:
    """ "0.25 A", "4.8 A", "12.4 A", "245 A"."""
    size = abs(current_a)
    digits = 0 if size >= 100 else 1 if size >= 10 else 2
    text = f"{current_a:.{digits}f}"
    return f"{text.rstrip('0').rstrip('.') if digits else text} A"


def volts(value_v: float) -> str:
    """ "12.31 V", "229.4 V"."""
    return f"{value_v:.{1 if abs(value_v) >= 100 else 2}f} V"


def millivolts(value_v: float) -> str:
    """A loss: in millivolts below 0.1 V."""
    return f"{1000 * value_v:.0f} mV" if abs(value_v) < 0.1 else volts(value_v)


def percent(value: float, digits: int = 1) -> str:
    """ "3.4 %"; without an end where nothing may be carried."""
    return "∞ %" if value == float("inf") else f"{value:.{digits}f} %"


def flows_in(solution: Solution, run: Run) -> tuple[Flow, ...]:
    """What its current-carrying cores carry."""
    keys = ((f"run:{run.id}", pole) for pole in run.poles if pole in CARRYING)
    return tuple(flow for key in keys if (flow := solution.flows.get(key)) is not None)


def most_in(solution: Solution, run: Run) -> float:
    """The largest current in any of its cores, A; 0 where it is at rest."""
    most = max((abs(flow.current_a) for flow in flows_in(solution, run)), default=0.0)
    return most if most >= LEAST_A else 0.0


def lost_in(solution: Solution, run: Run) -> float:
    """What is lost in it, V: out and back where it has both cores."""
    return sum(flow.drop_v for flow in flows_in(solution, run))


def fullness(boat: Boat, solution: Solution, run: Run) -> float | None:
    """Current over allowed current, per cent; None where that is not known."""
    share = loading(boat, run, most_in(solution, run))
    return None if share is None else 100 * share
