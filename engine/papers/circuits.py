"""What lies behind a fuse, a breaker or a way of a panel: the conductors it protects, the loads, and how large a device
those conductors allow. Graph questions for the papers; knows no layout.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Collection, Iterable, Mapping, Sequence

import msgspec

from engine.electrics.ampacity import allowed_current
from engine.electrics.minimum_sizes import minimum_size
from engine.electrics.protection import Use, device_limit, largest_standard_rating, standard_ratings
from engine.electrics.sizes import ConductorSize, standard_sizes
from engine.electrics.sources import ElectricsError
from engine.graph.boat import Boat
from engine.graph.listed import web_of
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, Part, Run, UnitSystem
from engine.model.quantity import high, low
from engine.rules.api import Book
from engine.rules.bounds import MOST_BUNDLED, allowed, rulebook, size_of

PANELS = ("dc_panel", "ac_panel")
CONSUMERS = ("load_dc", "load_ac", "outlet_ac", "starter", "converter", "transformer")
BREAKER, GENERAL_SERIES = "breaker", "nec-240.6"
SPARE_INSULATION_C = 105.0
"""Insulation assumed for a wire that is still to be chosen (tinned marine cable; common practice, no source)."""


class Draw(msgspec.Struct, frozen=True):
    """Current between bounds, A; `unknown` loads are not in the sum."""

    least_a: float = 0.0
    most_a: float = 0.0
    unknown: int = 0

    def plus(self, other: Draw) -> Draw:
        """Both together."""
        return Draw(self.least_a + other.least_a, self.most_a + other.most_a, self.unknown + other.unknown)


class Reach(msgspec.Struct, frozen=True):
    """What a walk away from a device came to: conductors, parts that draw, and the devices at which it ended."""

    runs: tuple[tuple[Run, str], ...]
    """(run, pole) of every core reached before another device."""
    consumers: tuple[Part, ...]
    """Loads, converters and panels, through further devices as well."""
    panels: tuple[Part, ...] = ()
    batteries: tuple[Part, ...] = ()
    direct: frozenset[str] = frozenset()
    """Ids of the parts reached before another device."""
    draws: Mapping[str, Draw] = {}
    """What the loads reached draw, by pole; panels are not counted."""


class Limit(msgspec.Struct, frozen=True):
    """The largest device that conductors allow: a rating that is made, A; None where it cannot be told.

    `worst` where something that is not stated was taken at its worst; `lacks` are those fields.
    """

    rating_a: float | None
    limit_a: float | None = None
    run: Run | None = None
    lacks: tuple[str, ...] = ()
    beside_a: float = 0.0
    """What other devices and sources push through the same wire, A; infinite where nothing limits them."""

    @property
    def worst(self) -> bool:
        """Whether more might be allowed if everything were known."""
        return self.rating_a is not None and bool(self.lacks)


def behind(boat: Boat, starts: Iterable[Node], barred: Collection[str]) -> Reach:
    """Everything fed from the starts, not going through the parts in `barred` (their ids), nor into sources or panels."""
    walk = _Walk(boat, frozenset(barred))
    walk.run(starts)
    return Reach(
        tuple(walk.runs.values()),
        tuple(walk.consumers.values()),
        tuple(walk.panels.values()),
        tuple(walk.batteries.values()),
        frozenset(walk.direct),
        walk.draws(),
    )


def is_consumer(boat: Boat, part: Part) -> bool:
    """Whether a person would say that it uses current: loads, converters, starters, and meters that draw some."""
    role = boat.role(part)
    return role in CONSUMERS or (role == "meter" and any(link.kind == "load" for link in boat.links(part)))


def load_taps(boat: Boat) -> Mapping[Node, Draw]:
    """What is drawn at each node by the loads and converters there."""
    found: dict[Node, Draw] = {}
    for tap in boat.currents.taps:
        if tap.kind == "load":
            known = tap.current_a
            one = Draw(unknown=1) if known is None else Draw(low(known), high(known))
            found[tap.node] = found.get(tap.node, Draw()).plus(one)
    return found


class _Walk:
    """A walk away from the starts; conductors count until a device is passed, parts beyond it too."""

    def __init__(self, boat: Boat, barred: frozenset[str]) -> None:
        self.boat = boat
        self.barred = barred
        self.runs: dict[tuple[str, str], tuple[Run, str]] = {}
        self.consumers: dict[str, Part] = {}
        self.panels: dict[str, Part] = {}
        self.batteries: dict[str, Part] = {}
        self.direct: set[str] = set()
        self._taps: set[tuple[str, str]] = set()
        self._seen: dict[Node, bool] = {}

    def run(self, starts: Iterable[Node]) -> None:
        queue = deque((node, True) for node in starts if node in self.boat.wires)
        self._seen = dict.fromkeys((node for node, _ in queue), True)
        while queue:
            node, direct = queue.popleft()
            if self._ends_at(node, direct):
                continue
            for other, edge in web_of(self.boat.wires)[node]:
                if edge.part is not None and edge.part.id in self.barred:
                    continue
                if edge.run is not None and direct:
                    self._take(self.boat.run_of(edge), edge.pole, other)
                passed = direct and edge.kind not in ("fuse", "breaker")
                if other not in self._seen or (passed and not self._seen[other]):
                    self._seen[other] = passed
                    queue.append((other, passed))

    def _take(self, run: Run, pole: str, other: Node) -> None:
        """Note the core, unless it only leads into a device of its own (that is the one to protect it) or is a starter's."""
        part = self.boat.parts.get(other[0])
        if self.runs and part is not None and self.boat.role(part) == "protection":
            self._taps.add((run.id, pole))
        if (run.id, pole) not in self._taps and not run.cranking:
            self.runs.setdefault((run.id, pole), (run, pole))

    def draws(self) -> Mapping[str, Draw]:
        """Sum of the loads reached, by pole."""
        taps, found = self.boat.derive(load_taps), dict[str, Draw]()
        for node in self._seen:
            if node in taps:
                found[node[2]] = found.get(node[2], Draw()).plus(taps[node])
        return found

    def _ends_at(self, node: Node, direct: bool) -> bool:
        """Note the part; sources and panels are not walked through."""
        part = self.boat.parts.get(node[0])
        if part is None or part.id in self.barred:
            return False
        if direct:
            self.direct.add(part.id)
        role = self.boat.role(part)
        if role in PANELS:
            self.panels[part.id] = part
        elif role == "battery":
            self.batteries[part.id] = part
        elif is_consumer(self.boat, part):
            self.consumers[part.id] = part
        return role in (*PANELS, "battery", "generator_dc", "ac_source")


def wire_limit(
    boat: Boat,
    cores: Sequence[tuple[Run, str]],
    books: Sequence[Book],
    family: str,
    use: Use = "branch",
    panel_a: float | None = None,
    beside: Mapping[tuple[str, str], float] | None = None,
) -> Limit:
    """The largest rating of the family that every one of the cores allows under every rulebook.

    `beside`: (run id, pole) -> what other devices and sources push through the same core, A; that much less is left.
    """
    lowest = Limit(None)
    lacks: list[str] = []
    for run, pole in cores:
        for book in books:
            alone = _core_limit(boat, run, pole, book, family, use, panel_a)
            one = _less(alone, (beside or {}).get((run.id, pole), 0.0), family)
            if one.limit_a is None:
                return one
            lacks += one.lacks
            if lowest.limit_a is None or one.limit_a < lowest.limit_a:
                lowest = one
    if lowest.limit_a is None:
        return lowest
    own = [lack for lack in dict.fromkeys(lacks) if lowest.run and lack.startswith(f"run:{lowest.run.id} ")]
    return msgspec.structs.replace(lowest, lacks=tuple(own))


def largest_rating(limit_a: float, family: str) -> float | None:
    """The largest rating made that is not above the limit. Breakers above the end of their series have the general one."""
    if family.endswith(BREAKER) and limit_a > standard_ratings(family)[-1]:
        return largest_standard_rating(limit_a, GENERAL_SERIES)
    return largest_standard_rating(limit_a, family)


def _less(limit: Limit, beside_a: float, family: str) -> Limit:
    """What is left for the device beside the others; nothing can be said where these are not limited."""
    if beside_a <= 0 or limit.limit_a is None:
        return limit
    if math.isinf(beside_a):
        return Limit(None, run=limit.run, beside_a=beside_a)
    left_a = max(0.0, limit.limit_a - beside_a)
    return Limit(largest_rating(left_a, family), left_a, limit.run, limit.lacks, beside_a)


def _core_limit(boat: Boat, run: Run, pole: str, book: Book, family: str, use: Use, panel_a: float | None) -> Limit:
    if size_of(run, pole) is None:
        return Limit(None, run=run, lacks=(f"run:{run.id} size",))
    found = allowed(boat, run, pole, rulebook(book))
    if found.worst is None:
        return Limit(None, run=run, lacks=found.lacks)
    ac = pole in AC_LINES
    try:
        limit_a = device_limit(found.worst, ac=ac, family=family, use=use, panel_rating_a=panel_a).limit_a
    except ElectricsError:
        return Limit(None, run=run)
    return Limit(largest_rating(limit_a, family), limit_a, run, found.lacks)


def position_family(device: str) -> str:
    """The rating series of a way: pull-out carriers take blade fuses, boards panel breakers (common practice)."""
    return "blade" if device == "fuse" else "panel-breaker"


def smallest_wire(
    rating_a: float, books: Sequence[Book], family: str, units: UnitSystem, ac: bool
) -> ConductorSize | None:
    """The smallest size that a device of this rating protects under every rulebook and that is no smaller than each
    rulebook's least size, with 105 °C insulation, in the thickest bundle, outside engine spaces; None where none is."""
    system = "AWG" if units == "us" else "metric"
    return next((size for size in standard_sizes(system) if _allows(size, rating_a, books, family, ac)), None)


def _allows(size: ConductorSize, rating_a: float, books: Sequence[Book], family: str, ac: bool) -> bool:
    for book in books:
        try:
            found = allowed_current(size, SPARE_INSULATION_C, rulebook(book), bundled=MOST_BUNDLED, ac=ac)
            least = minimum_size(rulebook(book), "alone").size.area_mm2
            if size.area_mm2 < least or device_limit(found, ac=ac, family=family).limit_a < rating_a:
                return False
        except ElectricsError:
            return False
    return True


def far_side(boat: Boat, a: Node, b: Node, near: Mapping[Node, int]) -> Node:
    """The end of a device that is further from the sources (`near`: steps from the nearest one)."""
    return b if near.get(a, 1 << 30) <= near.get(b, 1 << 30) else a


def steps_from_sources(boat: Boat) -> Mapping[Node, int]:
    """How many edges each live node is from the nearest battery, or AC source where none reaches it."""
    found: dict[Node, int] = {}
    for kinds in (("battery",), ("shore", "generator", "transformer", "converter")):
        queue = deque((source.live, 0) for source in boat.sources if source.kind in kinds and source.live in boat.wires)
        fresh: dict[Node, int] = dict(queue)
        while queue:
            node, steps = queue.popleft()
            for other in boat.wires.neighbors(node):
                if other not in fresh:
                    fresh[other] = steps + 1
                    queue.append((other, steps + 1))
        for node, steps in fresh.items():
            found.setdefault(node, steps)
    return found


def is_device(edge: Edge) -> bool:
    """Whether the edge is a fuse or a breaker."""
    return edge.kind in ("fuse", "breaker")
