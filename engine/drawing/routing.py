"""Leads runs over the sheet: right angles only, off the parts, every run in its own lane, few bends, few crossings.

For each run the usual shapes are tried first (straight, one bend, two bends over every lane); only where none is free
a search over the module grid follows. Same input, same result. Knows terminals and boxes, no parts, no wires.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise

from engine.drawing.leads import Lead, Led, Terminal, tidy, way_by_hand
from engine.drawing.ports import STEP, Key, Side
from engine.drawing.search import Steps, search
from engine.drawing.tracks import Node, Tracks, unit_nodes

BEND = 3.0
CROSSING = 15.0
BESIDE = 0.7
BUSY = 6.0
MANY = 3
MOST_SEARCHES = 4
"""A run that crosses so many is searched for on the whole grid; in one drawing so often, since it takes time."""

MOST_STEPS = 300_000
"""How many steps all the searches of one drawing take at most."""

REACH = 10
"""How many lanes outside the two ends are tried."""

NEAR = (1, -1, 2, -2, 3, -3, 4, -4, 6, -6)
"""How far from its part a run of three bends may turn first."""


Shapes = Callable[[Tracks, Node, Node], Iterator[tuple[float, tuple[Node, ...]]]]


def lead_runs(
    leads: Sequence[Lead], tracks: Tracks, kept: Mapping[str, Led] | None = None, *, hasty: bool = False
) -> dict[str, Led]:
    """Every run led, by run. Runs in `kept` stay as they are as long as their way is still free.

    What takes too long to find is led straight through and not clear; when `hasty`, so is all that keeps its distance
    by no usual shape.
    """
    for lead in leads:
        for end in (lead.a, lead.b):
            _reserve(end, tracks)
    work = _Work(tracks, leads)
    for lead in leads:
        old = (kept or {}).get(lead.run)
        if lead.bends:
            work.put(Led(lead, way_by_hand(lead)))
        elif old is not None and old.lead == lead and old.clear and work.is_free(old):
            work.put(old)
    fresh = [lead for lead in leads if lead.run not in work.led]
    for lead in sorted(fresh, key=_difficulty):
        work.put(work.first(lead) if hasty else work.best(lead))
    if not hasty:
        work.improve([lead.run for lead in fresh])
    return work.led


def _reserve(end: Terminal, tracks: Tracks) -> None:
    for side in end.sides:
        node = end.node
        for _ in range(end.reach):
            node = (node[0] + STEP[side][0], node[1] + STEP[side][1])
            tracks.block_node(node)


def _difficulty(lead: Lead) -> tuple[int, int]:
    """Straight runs first, then the short ones."""
    dx, dy = abs(lead.a.node[0] - lead.b.node[0]), abs(lead.a.node[1] - lead.b.node[1])
    return (0 if dx == 0 or dy == 0 else 1, dx + dy)


class _Work:
    """Runs led so far, and the tracks they lie on."""

    def __init__(self, tracks: Tracks, leads: Sequence[Lead]) -> None:
        self.tracks, self.steps = tracks, Steps(MOST_STEPS)
        self.led: dict[str, Led] = {}
        self.searches = MOST_SEARCHES
        self.at_port: dict[Key, list[str]] = {}
        for lead in leads:
            for end in {lead.a.port, lead.b.port}:
                self.at_port.setdefault(end, []).append(lead.run)

    def put(self, led: Led) -> None:
        self.led[led.lead.run] = led
        self.tracks.lay(led.corners)

    def neighbours(self, lead: Lead) -> list[Led]:
        """The runs already led that share a port with this one."""
        names = {name for end in (lead.a, lead.b) for name in self.at_port[end.port] if name != lead.run}
        return [self.led[name] for name in sorted(names) if name in self.led]

    def take(self, led: Led) -> None:
        self.tracks.lift(led.corners, [other.corners for other in self.neighbours(led.lead)])
        del self.led[led.lead.run]

    def is_free(self, led: Led) -> bool:
        """Whether a way led before is still free of parts and of the runs put down meanwhile."""
        corners = led.corners
        exempt = (corners[0], corners[-1], *_exits(led.lead))
        return all(self.tracks.stretch(a, b, exempt) is not None for a, b in pairwise(corners)) and not any(
            self.tracks.occupied(node) for node in corners[1:-1] if node not in exempt
        )

    def best(self, lead: Lead) -> Led:
        """The cheapest free way; without one, a way nearer to parts, then one along the runs of the same port."""
        found = self._cheapest(lead) or self._tight(lead) or self._beside_neighbours(lead)
        return found or _unclear(lead)

    def first(self, lead: Lead) -> Led:
        """The cheapest of the usual shapes, or straight through."""
        return self._shaped(lead, _shapes) or _unclear(lead)

    def _tight(self, lead: Lead) -> Led | None:
        self.tracks.tight = True
        found = self._cheapest(lead)
        self.tracks.tight = False
        return found

    def _cheapest(self, lead: Lead) -> Led | None:
        return self._shaped(lead, _shapes) or self._shaped(lead, _long_shapes) or self._searched(lead)

    def _shaped(self, lead: Lead, shapes: Shapes) -> Led | None:
        ways = [self._way(lead, a, b, shapes) for a in lead.a.sides for b in lead.b.sides]
        return min((way for way in ways if way is not None), key=lambda way: way.cost, default=None)

    def _way(self, lead: Lead, a: Side, b: Side, shapes: Shapes) -> Led | None:
        direct = _direct(lead, a, b, self.tracks)
        if direct is not None:
            return Led(lead, direct, float(abs(direct[0][0] - direct[-1][0]) + abs(direct[0][1] - direct[-1][1])))
        start, end = lead.a.exit(a), lead.b.exit(b)
        extra = self._busy(lead.a, a, lead.run) + self._busy(lead.b, b, lead.run)
        best = _cheapest_of(self.tracks, shapes(self.tracks, start, end), a, b)
        if best is None:
            return None
        return Led(lead, tidy((lead.a.node, *best[1], lead.b.node)), best[0] + extra)

    def _busy(self, end: Terminal, side: Side, run: str) -> float:
        """A side of a stud that another run leaves by already costs more."""
        if len(end.sides) < 2:
            return 0.0
        return BUSY if self.tracks.occupied(end.exit(side)) else 0.0

    def _searched(self, lead: Lead) -> Led | None:
        starts = {lead.a.exit(side): STEP[side] for side in lead.a.sides}
        ends = {lead.b.exit(side): STEP[side] for side in lead.b.sides}
        way = search(self.tracks, starts, ends, (BEND, CROSSING, BESIDE), self.steps)
        return Led(lead, tidy((lead.a.node, *way[1], lead.b.node)), way[0], searched=True) if way else None

    def _beside_neighbours(self, lead: Lead) -> Led | None:
        """Runs of one port may share a stretch where there is no other way."""
        others = self.neighbours(lead)
        for other in others:
            self.tracks.lift(other.corners, ())
        found = self._cheapest(lead) or self._tight(lead)
        for other in others:
            self.tracks.lay(other.corners)
        return found

    def improve(self, runs: Sequence[str]) -> None:
        """Each dear run is taken up once and led anew among all the others."""
        for run in runs:
            old = self.led[run]
            if _is_dear(old) and not old.lead.bends:
                self.take(old)
                self.put(self._better(self.best(old.lead)))

    def _better(self, led: Led) -> Led:
        """A way that crosses many is measured against the best on the whole grid."""
        if _crossing_cost(led) < MANY * CROSSING or led.searched or not self.searches:
            return led
        self.searches -= 1
        found = self._searched(led.lead)
        return found if found is not None and found.cost < led.cost else led


def _is_dear(led: Led) -> bool:
    """Whether it crosses other runs or found no free way; what was searched is as good as it gets."""
    if led.searched:
        return False
    return _crossing_cost(led) >= 0.5 * CROSSING


def _crossing_cost(led: Led) -> float:
    """What a way costs beyond its length and bends."""
    length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(led.corners))
    return led.cost - length - BEND * (len(led.corners) - 2)


def _exits(lead: Lead) -> tuple[Node, ...]:
    """Every node between the pins and the clear field."""
    nodes: list[Node] = []
    for end in (lead.a, lead.b):
        for side in end.sides:
            dx, dy = STEP[side]
            nodes += [(end.node[0] + dx * n, end.node[1] + dy * n) for n in range(end.reach + 1)]
    return tuple(nodes)


def _direct(lead: Lead, a: Side, b: Side, tracks: Tracks) -> tuple[Node, ...] | None:
    """Two pins that face each other in line are joined straight."""
    one, two = lead.a.node, lead.b.node
    dx, dy = STEP[a]
    if STEP[b] != (-dx, -dy) or (one[0] != two[0] and one[1] != two[1]):
        return None
    ahead = (two[0] - one[0]) * dx + (two[1] - one[1]) * dy
    if ahead <= 0:
        return None
    found = tracks.stretch(one, two, (one, two, *_exits(lead)))
    return (one, two) if found is not None and found[0] == 0 else None


def _unclear(lead: Lead) -> Led:
    return Led(lead, _regardless(lead), 1e6, clear=False)


def _regardless(lead: Lead) -> tuple[Node, ...]:
    start, end = lead.a.exit(lead.a.sides[0]), lead.b.exit(lead.b.sides[0])
    return tidy((lead.a.node, start, (start[0], end[1]), end, lead.b.node))


def _cheapest_of(
    tracks: Tracks, shapes: Iterator[tuple[float, tuple[Node, ...]]], a: Side, b: Side
) -> tuple[float, tuple[Node, ...]] | None:
    best: tuple[float, tuple[Node, ...]] | None = None
    for bound, corners in shapes:
        if best is not None and bound >= best[0]:
            continue
        if not _leaves_well(corners, STEP[a], STEP[b]):
            continue
        cost = shape_cost(tracks, corners, corners[0], corners[-1])
        if cost is not None and (best is None or cost < best[0]):
            best = (cost, corners)
    return best


def _shapes(tracks: Tracks, start: Node, end: Node) -> Iterator[tuple[float, tuple[Node, ...]]]:
    """Each shape of at most two bends, with the least it can cost."""
    del tracks
    (ax, ay), (bx, by) = start, end
    base = float(abs(ax - bx) + abs(ay - by))
    if ax == bx or ay == by:
        yield base, (start, end)
    yield base + BEND, (start, (bx, ay), end)
    yield base + BEND, (start, (ax, by), end)
    for x in _lanes(ax, bx):
        yield _around(ax, x, bx) + abs(ay - by) + 2 * BEND, (start, (x, ay), (x, by), end)
    for y in _lanes(ay, by):
        yield _around(ay, y, by) + abs(ax - bx) + 2 * BEND, (start, (ax, y), (bx, y), end)


def _long_shapes(tracks: Tracks, start: Node, end: Node) -> Iterator[tuple[float, tuple[Node, ...]]]:
    """Three bends: round a corner of the part the run leaves, then as any other shape."""
    (ax, ay), (bx, by) = start, end
    across = [near for near in NEAR if tracks.stretch(start, (ax + near, ay), (start, end)) is not None]
    down = [near for near in NEAR if tracks.stretch(start, (ax, ay + near), (start, end)) is not None]
    for near in across:
        for y in _lanes(ay, by):
            x = ax + near
            bound = abs(near) + _around(ay, y, by) + abs(x - bx) + 3 * BEND
            yield bound, (start, (x, ay), (x, y), (bx, y), end)
    for near in down:
        for x in _lanes(ax, bx):
            y = ay + near
            bound = abs(near) + _around(ax, x, bx) + abs(y - by) + 3 * BEND
            yield bound, (start, (ax, y), (x, y), (x, by), end)


def _lanes(a: int, b: int) -> list[int]:
    """The lanes from the middle outwards, then those outside both ends."""
    low, high = min(a, b), max(a, b)
    middle = (low + high) // 2
    return sorted(
        range(low - REACH, high + REACH + 1), key=lambda lane: (_around(a, lane, b), abs(lane - middle), lane)
    )


def _around(a: int, via: int, b: int) -> float:
    return float(abs(a - via) + abs(via - b))


def _leaves_well(corners: Sequence[Node], out_a: tuple[int, int], out_b: tuple[int, int]) -> bool:
    """No shape may turn straight back into the part it leaves."""
    (ax, ay), (bx, by) = corners[0], corners[-1]
    second = next((node for node in corners if node != (ax, ay)), (ax, ay))
    before = next((node for node in reversed(corners) if node != (bx, by)), (bx, by))
    if (second[0] - ax) * out_a[0] + (second[1] - ay) * out_a[1] < 0:
        return False
    return (before[0] - bx) * out_b[0] + (before[1] - by) * out_b[1] >= 0


def shape_cost(tracks: Tracks, corners: Sequence[Node], start: Node, end: Node) -> float | None:
    """Length, bends, crossings and closeness to other lines; None where the shape is not free."""
    cost, bends, last = 0.0, 0, None
    exempt = (start, end)
    for a, b in pairwise(corners):
        if a == b:
            continue
        found = tracks.stretch(a, b, exempt)
        if found is None or (a not in exempt and tracks.occupied(a)):
            return None
        level = a[1] == b[1]
        bends += last is not None and last != level
        last = level
        cost += abs(a[0] - b[0]) + abs(a[1] - b[1]) + CROSSING * found[0] + BESIDE * found[1]
    return cost + BEND * bends


def parting_nodes(led: Sequence[Led]) -> list[Node]:
    """Where runs that leave one port together part: the joints that get a dot. Where they cross later there is none."""
    users: dict[frozenset[Node], set[str]] = {}
    for one in led:
        for pair in pairwise(unit_nodes(one.corners)):
            users.setdefault(frozenset(pair), set()).add(one.lead.run)
    around: dict[Node, list[set[str]]] = {}
    for ends, runs in users.items():
        for node in ends:
            around.setdefault(node, []).append(runs)
    pins = {node for one in led for node in (one.corners[0], one.corners[-1])}
    return sorted(node for node, steps in around.items() if node not in pins and _is_parting(steps))


def _is_parting(steps: Sequence[set[str]]) -> bool:
    """Three steps or more meet, and on one of them two runs lie together."""
    return len(steps) > 2 and any(len(runs) > 1 for runs in steps)
