"""What is live with the switches set, from which sources; and what goes dead when one device opens. Knows no rule.

Batteries, generators and the shore are sources of their own; a charger or inverter gives only while what feeds it is live.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.listed import edges_of, web_of
from engine.graph.paths import reach
from engine.graph.poles import Edge, Node, Switches
from engine.graph.sources import Source
from engine.model.network import Part

LOADS = frozenset({"load_dc", "load_ac", "outlet_ac", "starter"})
OPENS = frozenset({"fuse", "breaker", "contact"})
WEATHER = frozenset({"solar_array", "wind_generator"})
"""Kinds of sources that nobody stops: dead is what they do not reach either."""

PRIMARY = frozenset({"battery", "generator", "shore"})


class Live(msgspec.Struct, frozen=True):
    """Which parts and runs are live, each with the ids of the sources that feed it."""

    parts: Mapping[str, frozenset[str]]
    runs: Mapping[str, frozenset[str]]

    def feeds(self, part: Part) -> frozenset[str]:
        """The ids of the sources that a part is fed by; empty: it is dead."""
        return self.parts.get(part.id, frozenset())


def live(boat: Boat, switches: Switches, without: Iterable[str] = ()) -> Live:
    """What is live with the switches as given, others as drawn. `without`: ids of sources that are off or unplugged."""
    wires = boat.switched(switches)
    reached: dict[Node, set[str]] = {}
    off = set(without)
    waiting = [source for source in boat.sources if source.part.id not in off]
    started = [source for source in waiting if source.kind in PRIMARY]
    while started:
        for source in started:
            for node in reach(wires, [source.live], _leaves_the_rail):
                reached.setdefault(node, set()).add(source.part.id)
        waiting = [source for source in waiting if source not in started]
        started = [source for source in waiting if _is_fed(boat, source, reached, switches)]
    return _told(boat, wires_of=reached)


def _leaves_the_rail(edge: Edge) -> bool:
    return edge.kind in ("bond", "blocking")


def _is_fed(boat: Boat, source: Source, reached: Mapping[Node, set[str]], switches: Switches) -> bool:
    """Whether a converter's other side is live, in the position it stands in."""
    kind = boat.kind(source.part)
    state = switches.get(source.part.id, kind.states[0] if kind and kind.states else "on")
    for a, _, edge in _own_links(boat, source):
        closed = edge.link is not None and (not edge.link.states or state in edge.link.states)
        if closed and a in reached:
            return True
    return False


def _own_links(boat: Boat, source: Source) -> Iterable[tuple[Node, Node, Edge]]:
    """The converter links that end at the source's live terminal, each from the side it takes from."""
    for other, edge in web_of(boat.graph)[source.live]:
        part, link = edge.part, edge.link
        if edge.kind == "converter" and part is not None and link is not None and (part.id, *link.b) == source.live:
            yield other, source.live, edge


def _told(boat: Boat, wires_of: Mapping[Node, set[str]]) -> Live:
    parts: dict[str, set[str]] = {}
    for node, sources in wires_of.items():
        if node[2] in LIVE_POLES:
            parts.setdefault(node[0], set()).update(sources)
    runs: dict[str, set[str]] = {}
    for a, b, edge in edges_of(boat.wires):
        if edge.run is not None and edge.pole in LIVE_POLES:
            runs.setdefault(edge.run.id, set()).update(wires_of.get(a, set()) | wires_of.get(b, set()))
    return Live(
        {part: frozenset(found) for part, found in parts.items()},
        {run: frozenset(found) for run, found in runs.items() if found},
    )


def everything_off(boat: Boat) -> Live:
    """What is still live with every switch as it is drawn (off), engines stopped, and nothing plugged in ashore; sun and
    wind go on."""
    running = [
        source.part.id
        for source in boat.sources
        if source.kind in ("generator", "shore") and source.part.kind not in WEATHER
    ]
    return live(boat, {}, running)


def dead_without(boat: Boat, switches: Switches, key: str, without: Iterable[str] = ()) -> tuple[Part, ...]:
    """The loads that go dead when the device of that key ("part:p3", "position:p4/12") opens, by the order of the parts.
    `without`: as for `live`."""
    opened, off = key.partition(":")[2], frozenset(without)
    before, after = live(boat, switches, off), live(boat, {**switches, opened: "off"}, off)
    return tuple(part for part in boat.with_role(*LOADS) if before.feeds(part) and not after.feeds(part))


def lost_without(
    boat: Boat, switches: Switches, key: str, without: Iterable[str] = ()
) -> tuple[tuple[Part, frozenset[str]], ...]:
    """The loads that stay live when the device opens but lose a source by it, with the ids of the sources they lose."""
    opened, off = key.partition(":")[2], frozenset(without)
    before, after = live(boat, switches, off), live(boat, {**switches, opened: "off"}, off)
    lost = ((part, before.feeds(part) - after.feeds(part)) for part in boat.with_role(*LOADS) if after.feeds(part))
    return tuple((part, sources) for part, sources in lost if sources)


def can_open(boat: Boat, key: str) -> bool:
    """Whether the part or way of that key holds a fuse, a breaker or a contact."""
    return any(edge.key == key and edge.kind in OPENS for _, _, edge in edges_of(boat.graph))


def loads(boat: Boat, shown: Live) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The loads that are live, and those that are dead."""
    every = boat.with_role(*LOADS)
    return tuple(part for part in every if shown.feeds(part)), tuple(part for part in every if not shown.feeds(part))
