"""What the battery switches cut and what they do not: computed on the pole graph. Knows no layout.

All other contacts (relays, float switches, ignition switches) count as closed: what can be live is shown as live.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec
import networkx as nx

from engine.graph.boat import Boat
from engine.graph.listed import keyed_edges_of
from engine.graph.paths import Step, Tree, reach, tree_from, way_up
from engine.graph.poles import Edge, Node
from engine.model.network import Part
from engine.papers.circuits import PANELS, is_consumer

BATTERY_SWITCHES = (
    "battery_switch", "battery_switch_2", "battery_selector", "dual_switch", "remote_battery_switch",
)  # fmt: skip
OFF = "off"
DEVICES = ("fuse", "breaker")
TERMINALS = ("generator_dc", "converter", "bus")
"""Roles whose terminals are told of although nothing is used there."""


class Way(msgspec.Struct, frozen=True):
    """One way from a battery, through devices (nearest to the battery first)."""

    battery: Part
    devices: tuple[Edge, ...]


class Live(msgspec.Struct, frozen=True):
    """Something that is fed: from which battery, through which devices (nearest to the battery first)."""

    part: Part
    battery: Part
    devices: tuple[Edge, ...]
    panel: str = ""
    """Id of the panel it hangs on, where it hangs on one."""
    others: tuple[Way, ...] = ()
    """Further ways: each still feeds it with the first device of those before it taken out."""

    @property
    def ways(self) -> tuple[Way, ...]:
        """Every way on which a device must come out before it is dead; only `stays_live` knows the others."""
        return (Way(self.battery, self.devices), *self.others)


class Setting(msgspec.Struct, frozen=True):
    """One position of one battery switch, all other battery switches off."""

    switch: Part
    state: str
    feeds: tuple[Live, ...]
    """What it adds to what is live with every switch off."""
    joins: tuple[Part, ...] = ()
    """Batteries that it connects with each other."""


def battery_switches(boat: Boat) -> tuple[Part, ...]:
    """The switches that cut batteries off by hand."""
    return tuple(part for part in boat.network.parts if part.kind in BATTERY_SWITCHES)


def stays_live(boat: Boat) -> tuple[Live, ...]:
    """Every consumer, panel and terminal that a battery feeds with all battery switches off, with every way to it."""
    cutter = _Cutter(boat)
    return tuple(msgspec.structs.replace(live, others=cutter.others(live)) for live in live_with(boat, {}))


class _Cutter:
    """Takes devices out, one after the other, as long as something is still fed. Trees are kept: few sets differ."""

    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        self._wires = positive_wires(boat, {})
        self._trees: dict[frozenset[str], Tree] = {}

    def others(self, live: Live) -> tuple[Way, ...]:
        """The ways besides its nearest one; they end with one that no device guards, or when nothing feeds it."""
        found: list[Way] = []
        devices, out = live.devices, frozenset[str]()
        while devices:
            out |= {devices[0].key}
            way = self._way(live.part, out)
            if way is None:
                break
            found.append(way)
            devices = way.devices
        return tuple(found)

    def _way(self, part: Part, out: frozenset[str]) -> Way | None:
        tree = self._tree(out)
        node = next((node for node in tree if node[0] == part.id), None)
        return _way(self._boat, tree, node) if node else None

    def _tree(self, out: frozenset[str]) -> Tree:
        if out not in self._trees:
            wires: nx.MultiGraph = nx.MultiGraph()
            wires.add_nodes_from(self._wires)
            for a, b, key, edge in keyed_edges_of(self._wires):
                if edge.kind not in DEVICES or edge.key not in out:
                    wires.add_edge(a, b, key=key, edge=edge)
            self._trees[out] = tree_from(wires, _batteries(self._boat))
        return self._trees[out]


def settings(boat: Boat) -> tuple[Setting, ...]:
    """Every position but off of every battery switch."""
    before = frozenset(live.part.id for live in stays_live(boat))
    found = []
    for switch in battery_switches(boat):
        kind = boat.kind(switch)
        for state in kind.states if kind else ():
            if state != OFF:
                fed = live_with(boat, {switch.id: state})
                added = tuple(live for live in fed if live.part.id not in before)
                found.append(Setting(switch, state, added, _joined(boat, {switch.id: state})))
    return tuple(found)


def live_with(boat: Boat, states: Mapping[str, str]) -> tuple[Live, ...]:
    """What is live with the battery switches in these states (by part id), those not named off."""
    wires = positive_wires(boat, states)
    tree = tree_from(wires, _batteries(boat))
    found: dict[str, Live] = {}
    for node in tree:
        part = boat.parts.get(node[0])
        if part is None or part.id in found:
            continue
        if not is_consumer(boat, part) and boat.role(part) not in (*PANELS, *TERMINALS):
            continue
        found[part.id] = _live(boat, tree, node, part)
    order = {part.id: number for number, part in enumerate(boat.network.parts)}
    return tuple(sorted(found.values(), key=lambda live: order[live.part.id]))


def _live(boat: Boat, tree: Tree, node: Node, part: Part) -> Live:
    way = _way(boat, tree, node)
    panels = [step.edge.part.id for step in _downwards(tree, node) if step.edge.part is not None
              and boat.role(step.edge.part) in PANELS and step.edge.part.id != part.id]  # fmt: skip
    return Live(part, way.battery, way.devices, panels[-1] if panels else "")


def _way(boat: Boat, tree: Tree, node: Node) -> Way:
    steps = _downwards(tree, node)
    root = steps[0].start if steps else node
    return Way(boat.parts[root[0]], tuple(step.edge for step in steps if step.edge.kind in DEVICES))


def _downwards(tree: Tree, node: Node) -> tuple[Step, ...]:
    """The steps from the battery to the node."""
    return tuple(reversed(way_up(tree, node) or ()))


def positive_wires(boat: Boat, states: Mapping[str, str]) -> nx.MultiGraph:
    """The positive conductors with the battery switches set; every other contact closed."""
    graph: nx.MultiGraph = nx.MultiGraph()
    graph.add_nodes_from(node for node in boat.wires if node[2] == "+")
    for a, b, key, edge in keyed_edges_of(boat.wires):
        if a[2] == "+" and b[2] == "+" and not _is_open(edge, states):
            graph.add_edge(a, b, key=key, edge=edge)
    return graph


def _is_open(edge: Edge, states: Mapping[str, str]) -> bool:
    part = edge.part
    if part is None or edge.link is None or part.kind not in BATTERY_SWITCHES or edge.kind != "contact":
        return False
    return states.get(part.id, OFF) not in edge.link.states


def _batteries(boat: Boat) -> list[Node]:
    return [source.live for source in boat.sources if source.kind == "battery" and source.live[2] == "+"]


def _joined(boat: Boat, states: Mapping[str, str]) -> tuple[Part, ...]:
    """Batteries that the switch connects and that are apart without it; relays are left open and diodes pass nothing."""
    before = {frozenset(met) for met in _meeting(boat, {})}
    found = [met for met in _meeting(boat, states) if frozenset(met) not in before]
    return tuple(boat.parts[node[0]] for node in found[0]) if found else ()


def _meeting(boat: Boat, states: Mapping[str, str]) -> Iterator[list[Node]]:
    """Groups of two and more battery terminals that meet over wires, devices and the battery switches so set."""
    wires = positive_wires(boat, states)
    wires.remove_edges_from([
        (a, b, key) for a, b, key, edge in wires.edges(keys=True, data="edge") if _may_part(edge)
    ])  # fmt: skip
    roots = _batteries(boat)
    for root in roots:
        reached = reach(wires, [root])
        met = [node for node in roots if node in reached]
        if len(met) > 1 and met[0] == root:
            yield met


def _may_part(edge: Edge) -> bool:
    is_switch = edge.part is not None and edge.part.kind in BATTERY_SWITCHES
    return edge.kind == "blocking" or (edge.kind == "contact" and not is_switch)


def first_devices(lives: Iterable[Live]) -> tuple[Edge, ...]:
    """The device nearest to the battery on every way to each, each once: what must come out to make them dead."""
    found: dict[str, Edge] = {}
    for way in (way for live in lives for way in live.ways):
        if way.devices:
            found.setdefault(way.devices[0].key, way.devices[0])
    return tuple(found.values())


def unfused(lives: Sequence[Live]) -> tuple[Live, ...]:
    """What is fed from a battery with no fuse or breaker on one of its ways: no device that is taken out makes it dead."""
    return tuple(live for live in lives if not all(way.devices for way in live.ways))


def ac_sources(boat: Boat) -> tuple[Part, ...]:
    """Shore inlets, generators, inverters: what can make AC aboard, whatever the battery switches say."""
    found: dict[str, Part] = {}
    for source in boat.sources:
        if source.is_ac and source.kind != "transformer":
            found.setdefault(source.part.id, source.part)
    return tuple(found.values())


def main_breakers(boat: Boat) -> tuple[Edge, ...]:
    """The first breaker behind each shore inlet."""
    found: dict[str, Edge] = {}
    for source in boat.sources:
        if source.kind == "shore":
            first = _first_breaker(tree_from(boat.wires, [source.live]))
            if first is not None:
                found.setdefault(first.key, first)
    return tuple(found.values())


def _first_breaker(tree: Tree) -> Edge | None:
    """Nodes of a tree come nearest first."""
    edges = (step.edge for step in tree.values() if step is not None)
    return next((edge for edge in edges if edge.kind == "breaker"), None)
