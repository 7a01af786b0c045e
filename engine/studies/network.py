"""The network of a boat solved: true volts at every pole, true amps in every conductor, in every operating condition.

solve(boat, condition) answers with a Solution whatever the boat is like: islands without a source, supplies that
collapse and missing data are gaps in it, each explained; nothing is raised for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.graph.boat import Boat
from engine.graph.poles import Node
from engine.model.network import Condition
from engine.studies.answers import answer
from engine.studies.circuit import Numbers
from engine.studies.conditions import Case, case_of
from engine.studies.elements import Elements, elements_of
from engine.studies.island import Reason, lay_out
from engine.studies.results import Solution
from engine.studies.solver import Solver, State
from engine.studies.system import System
from engine.studies.values import Corner


def solve(
    boat: Boat,
    condition: Condition | None = None,
    *,
    starting: Iterable[str] = (),
    charge: Mapping[str, float] | None = None,
    corner: Corner = "middle",
) -> Solution:
    """The boat in a condition; None: everything on, no charging. `starting`: ids of motors that start just now;
    `charge`: state of charge, 0 to 1, by battery id."""
    return solve_case(boat, case_of(boat, condition, starting, charge), corner)


def bounds(
    boat: Boat,
    condition: Condition | None = None,
    *,
    starting: Iterable[str] = (),
    charge: Mapping[str, float] | None = None,
) -> tuple[Solution, Solution]:
    """The same with everything that is a range or not known at its worst, and at its best."""
    case = case_of(boat, condition, starting, charge)
    return solve_case(boat, case, "worst"), solve_case(boat, case, "best")


def solve_case(boat: Boat, case: Case, corner: Corner = "middle") -> Solution:
    """A case solved at one corner."""
    elements = elements_of(boat, case, corner)
    system, states, failed = settle(elements)
    return answer(boat, case, corner, elements, system, states, failed)


Failed = Mapping[Node, tuple[Reason, float]]
"""Islands without a solution by name, with the share of their load that there would be a solution for."""


def settle(elements: Elements) -> tuple[System, tuple[State, State], Failed]:
    """Solve, leaving out one after the other the islands that have no solution."""
    failed: dict[Node, tuple[Reason, float]] = {}
    while True:
        reasons = {name: reason for name, (reason, _) in failed.items()}
        system = System(elements, lay_out(elements, reasons))
        states = system.solve()
        bad = [ac for ac, state in enumerate(states) if state.outcome != "solved"]
        if not bad:
            return system, states, failed
        failed.update(_failing(system, bool(bad[0]), states[bad[0]]))


def _failing(system: System, ac: bool, state: State) -> Failed:
    """The islands that fail with their own loads alone; all of the circuit where only together they do."""
    current_a, power_w = system.asked[ac]
    found: dict[Node, tuple[Reason, float]] = {}
    live = [
        (n, island) for n, island in enumerate(system.layout.islands) if island.reason == "live" and island.ac == ac
    ]
    for number, island in live:
        own = system.halves[ac].load_islands == number
        outcome = system.solvers[ac].carry(current_a * own, power_w * own).outcome
        if outcome != "solved":
            share = deliverable(system.solvers[ac], current_a * own, power_w * own)
            found[island.name] = ("collapsed" if outcome == "collapsed" else "unsettled", share)
    reason: Reason = "collapsed" if state.outcome == "collapsed" else "unsettled"
    return found or {island.name: (reason, 0.0) for _, island in live}


def deliverable(solver: Solver, current_a: Numbers, power_w: Numbers) -> float:
    """The largest share of these loads for which the circuit has a solution."""
    least, most = 0.0, 1.0
    for _ in range(20):
        share = (least + most) / 2
        solved = solver.carry(current_a * share, power_w * share).outcome == "solved"
        least, most = (share, most) if solved else (least, share)
    return least
