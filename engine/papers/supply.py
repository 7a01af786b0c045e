"""Where something is fed from: the way back to its source, its device, its conductor, its voltage. Knows no layout."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec

from engine.graph.boat import Boat, quantity
from engine.graph.paths import Step, reach, way_to
from engine.graph.poles import Edge, Node
from engine.graph.sources import at_node
from engine.model.network import Part, Run
from engine.model.quantity import Quantity

VOLT_FIELDS = ("output_v", "nominal_v")


class Supply(msgspec.Struct, frozen=True):
    """How a panel (or anything) is fed, from the source to it. Empty where nothing feeds it."""

    source: Part | None = None
    steps: tuple[Step, ...] = ()
    """From the fed node back to the source."""
    conductor: Run | None = None
    """The run that lands on it."""
    device_a: Quantity = None
    """The rating of the nearest fuse or breaker on the way, A."""

    @property
    def device(self) -> Edge | None:
        """The nearest fuse or breaker on the way."""
        return next((step.edge for step in self.steps if step.edge.kind in ("fuse", "breaker")), None)

    @property
    def parts(self) -> tuple[str, ...]:
        """Ids of the parts on the way, from the source to what is fed (itself left out)."""
        seen = dict.fromkeys(step.end[0] for step in reversed(self.steps))
        first = self.steps[0].start[0] if self.steps else ""
        return tuple(part for part in seen if part != first)


def supply_of(boat: Boat, node: Node) -> Supply:
    """The nearest battery, else the nearest other source, with the way to it along conductors.

    No panel is fed through its own ways: what hangs on one (an inverter/charger) may be a source itself.
    """
    own = node[0] if node[1] == "feed" else ""
    batteries = _live_nodes(boat, lambda kind: kind == "battery")
    others = _live_nodes(boat, lambda kind: kind != "battery")
    for goals in (batteries, others):
        steps = way_to(boat.wires, node, goals.__contains__, lambda edge: _is_way_of(edge, own))
        if steps is not None:
            end = steps[-1].end if steps else node
            return _supply(boat, goals[end], steps)
    return Supply()


def _supply(boat: Boat, source: Part, steps: tuple[Step, ...]) -> Supply:
    run = next((boat.run_of(step.edge) for step in steps if step.edge.run is not None), None)
    device = Supply(source, steps).device
    return Supply(source, steps, run, boat.rating_of(device) if device else None)


def _is_way_of(edge: Edge, panel: str) -> bool:
    return edge.part is not None and edge.part.id == panel and edge.key.startswith("position:")


def _live_nodes(boat: Boat, wanted: Callable[[str], bool]) -> Mapping[Node, Part]:
    return {source.live: source.part for source in boat.sources if wanted(source.kind)}


def voltages(boat: Boat) -> Mapping[Node, Quantity]:
    """Nominal voltage of every node that a source reaches, live or return; batteries first, None where not stated."""
    found: dict[Node, Quantity] = {}
    for kinds in (("battery",), ("shore", "generator", "transformer"), ("converter",)):
        for source in boat.sources:
            if source.kind in kinds:
                volts = voltage(source.part)
                starts = [node for node in (source.live, source.back) if node is not None]
                for start in starts:
                    for node in reach(boat.wires, [start]):
                        if node[2] in (start[2], "L") and node not in found:
                            found[node] = at_node(volts, start, node)
    return found


def voltage(part: Part) -> Quantity:
    """The nominal voltage that a source gives, V."""
    return next((quantity(part, name) for name in VOLT_FIELDS if quantity(part, name) is not None), None)
