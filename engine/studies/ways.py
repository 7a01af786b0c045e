"""The conductors on the way between two poles, in order. Any way has the same sum of voltages: Kirchhoff. Knows no value."""

from __future__ import annotations

from collections import deque

from engine.graph.poles import Node
from engine.studies.results import Flow, Solution


def way_between(solution: Solution, start: Node, end: Node) -> tuple[tuple[Flow, int], ...]:
    """The conductors on the shortest way from start to end, each with 1 where it is passed from its a to its b, else -1;
    () where there is none."""
    point = solution.layout.point
    near: dict[int, list[tuple[int, Flow, int]]] = {}
    for flow in solution.flows.values():
        near.setdefault(point[flow.a], []).append((point[flow.b], flow, 1))
        near.setdefault(point[flow.b], []).append((point[flow.a], flow, -1))
    if start not in point or end not in point:
        return ()
    came: dict[int, tuple[int, Flow, int] | None] = {point[start]: None}
    queue = deque([point[start]])
    while queue and point[end] not in came:
        here = queue.popleft()
        for other, flow, sense in near.get(here, ()):
            if other not in came:
                came[other] = (here, flow, sense)
                queue.append(other)
    return _back(came, point[end])


def _back(came: dict[int, tuple[int, Flow, int] | None], end: int) -> tuple[tuple[Flow, int], ...]:
    found: list[tuple[Flow, int]] = []
    step = came.get(end)
    while step is not None:
        found.append(step[1:])
        step = came[step[0]]
    return tuple(reversed(found))
