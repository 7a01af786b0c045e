"""The way a short-circuit current takes: from the source to the far end of a run and back. Knows no rule."""

from __future__ import annotations

from engine.graph.boat import Boat
from engine.graph.paths import way_keys
from engine.graph.poles import Node
from engine.studies.fault_bounds import Least, alone_sources


def loop_of(boat: Boat, least: Least) -> tuple[str, ...]:
    """The keys along it, the fault's own run first: what makes the current smaller when it gets thinner or longer."""
    source = next((each for each in boat.sources if each.part.id == least.source), None)
    run = f"run:{least.run}"
    if source is None:
        return (run,)
    ends = boat.core_ends(boat.runs[least.run], least.pole)
    out = max((way_keys(boat.wires, end, {source.live}) for end in ends), key=len)
    returns = [way_keys(boat.wires, node, {source.back}) for end in ends for node in _beside(boat, end, least.pole)
               if source.back is not None]  # fmt: skip
    back = max(returns, key=len, default=())
    return tuple(dict.fromkeys((run, *out, *back, *_to_root(boat, source.back))))


def _to_root(boat: Boat, back: Node | None) -> tuple[str, ...]:
    """The returns from a source to the one that all returns are counted from, which the bound adds."""
    roots = [alone.source.supply.a for alone in alone_sources(boat)]
    ways = (way_keys(boat.wires, back, {root}) for root in roots if back is not None and root != back)
    return next((keys for keys in ways if keys), ())


def _beside(boat: Boat, end: Node, pole: str) -> list[Node]:
    """The return terminals of the part that a live terminal belongs to."""
    ports = boat.ports(boat.parts[end[0]]) if end[0] in boat.parts else ()
    wanted = "-" if pole == "+" else "N"
    nodes: list[Node] = [(end[0], port.name, wanted) for port in ports]
    return [node for node in nodes if node in boat.wires]
