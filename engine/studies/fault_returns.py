"""How many ohms lie between one root in each part of the negative and neutral wiring and every terminal there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.graph.poles import Node, RunRef
from engine.model.kept import latest
from engine.model.network import Run
from engine.studies.fault_ohms import Ohms, core_ohm, device_ohms
from engine.studies.spreads import Spread, spread

Stretch = tuple[float, tuple[RunRef, ...]]
"""Ohms, and the runs of which the size or the length is not known."""
NOTHING: Stretch = (0.0, ())


class Back(msgspec.Struct, frozen=True):
    """From one root to all that it reaches."""

    spread: Spread
    devices: Ohms
    runs: Mapping[Node, Run]
    """Those by which terminals were reached."""
    to: Mapping[Node, Stretch]


class Returns(msgspec.Struct, frozen=True):
    """From all roots."""

    spreads: tuple[Spread, ...]
    to: Mapping[Node, Stretch]

    def are_beside(self, before: Returns, parts: frozenset[str]) -> bool:
        """Whether the same terminals of these parts are reached as before."""
        pairs = zip(self.spreads, before.spreads, strict=False)
        return len(self.spreads) == len(before.spreads) and all(_same_at(*pair, parts) for pair in pairs)


def _same_at(now: Spread, before: Spread, parts: frozenset[str]) -> bool:
    if now is before:
        return True
    other = (node[0] for nodes in (now.gone, now.came) for node in nodes)
    return now.before is before.stamp and parts.isdisjoint(other)


def returns_from(boat: Boat, roots: Iterable[Node]) -> Returns:
    """From the first of the roots in each part of the wiring."""
    backs: list[Back] = []
    for root in roots:
        if not any(root in back.to for back in backs):
            backs.append(_back(boat, root))
    if len(backs) == 1:
        return Returns((backs[0].spread,), backs[0].to)
    to = {node: stretch for back in backs for node, stretch in back.to.items()}
    return Returns(tuple(back.spread for back in backs), to)


def _back(boat: Boat, root: Node) -> Back:
    """From one root, begun with the last from it."""
    name, now, devices = f"back {root}", spread(boat, root), device_ohms(boat)
    last: Back | None = latest.get(name)
    made = latest[name] = _begun(boat, now, devices, last) or _added_up(boat, now, devices, now.over, {}, {})
    return made


def _begun(boat: Boat, now: Spread, devices: Ohms, last: Back | None) -> Back | None:
    """The last, with what was reached otherwise than there; None where more is another."""
    if last is None or last.devices != devices or (now is not last.spread and now.before is not last.spread.stamp):
        return None
    gone, came = (now.gone, now.came) if now is not last.spread else ((), ())
    runs, to = dict(last.runs), dict(last.to)
    for node in gone:
        runs.pop(node, None)
        del to[node]
    if any(boat.runs[run.id] != run for run in runs.values()):
        return None
    return _added_up(boat, now, devices, came, runs, to) if gone or came else last


def _added_up(
    boat: Boat, now: Spread, devices: Ohms, nodes: Iterable[Node], runs: dict[Node, Run], to: dict[Node, Stretch]
) -> Back:
    """Some nodes added to those known, those first that lead to others."""
    for node in nodes:
        before, edge = now.over[node]
        if edge is None:
            to[node] = NOTHING
        elif edge.run is None:
            to[node] = to[before][0] + devices.get((edge.key, edge.pole), 0.0), to[before][1]
        else:
            run = runs[node] = boat.runs[edge.run.id]
            to[node] = _further(to[before], edge.run, core_ohm(run, edge.pole))
    return Back(now, devices, runs, to)


def _further(stretch: Stretch, run: RunRef, ohm: float | None) -> Stretch:
    """With a run more."""
    return (stretch[0], (*stretch[1], run)) if ohm is None else (stretch[0] + ohm, stretch[1])
