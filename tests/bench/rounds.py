"""Two things timed in turn, and the ratio of their least times: that holds still where medians and single rounds do not."""

from __future__ import annotations

import time
from collections.abc import Callable

ROUNDS = 25
TURN_S = 0.02
"""What takes less is timed again and again for so long in its turn: the first time after waiting for another process or a
screen measures how the processor wakes."""


def minima(one: Callable[[], object], other: Callable[[], object], rounds: int = ROUNDS) -> tuple[float, float]:
    """The least time of each, s, over at least 25 rounds taken in turn."""
    least = [float("inf"), float("inf")]
    for _ in range(max(rounds, ROUNDS)):
        for which, work in enumerate((one, other)):
            least[which] = min(least[which], _turn(work))
    return least[0], least[1]


def _turn(work: Callable[[], object]) -> float:
    """The least time of the work in one turn, s."""
    least, began = float("inf"), time.perf_counter()
    while (start := time.perf_counter()) - began < TURN_S:
        work()
        least = min(least, time.perf_counter() - start)
    return least


def line(work: str, ours_s: float, theirs_s: float, ratio: str, floor: str, goal: str) -> str:
    """One row: what, both minima, the ratio, floor and goal beside it."""
    return f"{work:<58} {1e3 * ours_s:9.2f} ms  {1e3 * theirs_s:9.2f} ms  {ratio:>9}   floor {floor:<11} goal {goal}"
