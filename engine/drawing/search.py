"""The last resort of routing: the cheapest way over the module grid (A*), for runs that no usual shape fits."""

from __future__ import annotations

import heapq

from engine.drawing.tracks import Node, Tracks

Way = tuple[int, int]
MOST_STEPS = 30_000
WAYS: tuple[Way, ...] = ((1, 0), (-1, 0), (0, 1), (0, -1))


def search(
    tracks: Tracks, start: Node, out_a: Way, end: Node, out_b: Way, price: tuple[float, float, float]
) -> tuple[float, tuple[Node, ...]] | None:
    """(cost, corners) from exit to exit; None where there is no way.

    `price` is that of a bend, of a crossing and of a node beside another line.
    """
    arrive = (-out_b[0], -out_b[1])
    first = (start, out_a)
    cost: dict[tuple[Node, Way], float] = {first: 0.0}
    came: dict[tuple[Node, Way], tuple[Node, Way]] = {}
    queue = [(_least(start, end), 0, first)]
    order = 0
    for _ in range(MOST_STEPS):
        if not queue:
            return None
        here = heapq.heappop(queue)[2]
        if here[0] == end and (here[1] != out_b):
            return cost[here] + (price[0] if here[1] != arrive else 0.0), _corners(came, here)
        for there, step in _moves(tracks, here, end, start, price):
            total = cost[here] + step
            if total < cost.get(there, 1e9):
                cost[there], came[there] = total, here
                order += 1
                heapq.heappush(queue, (total + _least(there[0], end), order, there))
    return None


def _least(a: Node, b: Node) -> float:
    return float(abs(a[0] - b[0]) + abs(a[1] - b[1]))


def _moves(
    tracks: Tracks, here: tuple[Node, Way], end: Node, start: Node, price: tuple[float, float, float]
) -> list[tuple[tuple[Node, Way], float]]:
    node, way = here
    found: list[tuple[tuple[Node, Way], float]] = []
    busy = node != start and tracks.occupied(node)
    for turn in WAYS:
        if turn == (-way[0], -way[1]) or (busy and turn != way):
            continue
        there = (node[0] + turn[0], node[1] + turn[1])
        step = _enter(tracks, there, turn, end, price)
        if step is not None:
            found.append(((there, turn), step + (price[0] if turn != way else 0.0)))
    return found


def _enter(tracks: Tracks, node: Node, way: Way, end: Node, price: tuple[float, float, float]) -> float | None:
    if node == end:
        return 1.0
    if not tracks.holds(node) or tracks.is_blocked(node):
        return None
    x, y = node
    level, upright = tracks.level_row[y] >> x & 1, tracks.upright_row[y] >> x & 1
    along, across = (level, upright) if way[0] else (upright, level)
    if along:
        return None
    return 1.0 + price[1] * across + price[2] * _beside(tracks, node, way)


def _beside(tracks: Tracks, node: Node, way: Way) -> int:
    x, y = node
    if way[0]:
        return (tracks.level_row[y - 1] >> x & 1) + (tracks.level_row[min(y + 1, tracks.rows - 1)] >> x & 1)
    return (tracks.upright_column[x - 1] >> y & 1) + (tracks.upright_column[min(x + 1, tracks.columns - 1)] >> y & 1)


def _corners(came: dict[tuple[Node, Way], tuple[Node, Way]], here: tuple[Node, Way]) -> tuple[Node, ...]:
    nodes = [here[0]]
    while here in came:
        here = came[here]
        nodes.append(here[0])
    return tuple(nodes[::-1])
