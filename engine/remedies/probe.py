"""A huge load hung on a place of the boat: what would carry it tells what lies upstream, and what is there beside it.

The boat is asked twice, without and with the load. Rings, selectors and several batteries are then counted as the checks
count them. Knows no limit.
"""

from __future__ import annotations

import math

import msgspec

from engine.graph.boat import Boat
from engine.library.expand import live_poles
from engine.model.edits.wiring import shared_poles
from engine.model.network import End, Network, Part, Run
from engine.model.quantity import Value
from engine.rules.bounds import Bound

PROBE_A = 1e6
"""So large that whatever it flows through carries hardly anything else, chargers included."""
TINY_A = 1e-6
ADDED = "an addition"
"""Id of the load and stem of the ids of its runs; ids of the document have no blank."""
LOADS = {"+": "load_dc", "L": "load_ac", "L1": "load_ac_split"}


class Probe(msgspec.Struct, frozen=True):
    """The boat as it is, and with a load of PROBE_A at a place."""

    before: Boat
    after: Boat
    poles: tuple[str, ...]

    def beside(self, before: Bound, after: Bound) -> Bound | None:
        """What a thing carries beside the addition, A; None where the addition does not flow through it.

        Where something else caps what flows there, it carries at most that: see `capped`.
        """
        if self.capped(after):
            return before if after.most > before.most + TINY_A else None
        least = after.least - PROBE_A if after.least > PROBE_A / 2 else before.least
        return Bound(round(max(0.0, least), 6), round(max(0.0, after.most - PROBE_A), 6), before.lacks)

    def capped(self, after: Bound) -> bool:
        """Whether most of the probe does not get there: it does not flow there, or is held back between two batteries."""
        return after.most < PROBE_A / 2 or (math.isinf(after.most) and after.least < PROBE_A / 2)


def carried_poles(boat: Boat, end: End) -> tuple[str, ...]:
    """The poles that a load at this port would take: both of direct current, a line with neutral and earth."""
    part = boat.parts[end.part]
    port = next((port.poles for port in boat.ports(part) if port.name == end.port), ())
    lines = live_poles(port)
    kind = boat.library.get(LOADS.get(lines[0] if lines else "", ""))
    supply = next((port.poles for port in kind.port if port.name == "supply"), ()) if kind else ()
    return shared_poles(port, supply)


def probe_at(boat: Boat, end: End, back: End | None = None) -> Probe:
    """A load at a port; `back`: where its return goes if the port has no negative."""
    poles = carried_poles(boat, end)
    load = Part(id=ADDED, kind=LOADS[live_poles(poles)[0]], values=_values())
    runs = [Run(id=f"{ADDED} 1", a=end, b=End(part=ADDED, port="supply"), poles=poles)]
    if back is not None and "-" not in poles:
        runs.append(Run(id=f"{ADDED} 2", a=back, b=End(part=ADDED, port="supply"), poles=("-",)))
    return Probe(boat, Boat(_with(boat.network, load, runs), boat.library), poles)


def _values() -> dict[str, Value]:
    return {"running_a": PROBE_A}


def _with(network: Network, load: Part, runs: list[Run]) -> Network:
    return msgspec.structs.replace(network, parts=(*network.parts, load), runs=(*network.runs, *runs))
