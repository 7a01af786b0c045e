"""How much current a return conductor can be made to carry: what the sources on its one side can push through the
positive wiring to the loads on its other side.

Returns are not fused, so the devices of the positive side are what holds their current. Knows no rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import fsum

import msgspec

from engine.graph.boat import Boat
from engine.graph.cranking import cranking_cores
from engine.graph.flows import NOTHING, UNLIMITED
from engine.graph.poles import Node
from engine.graph.pushed import Backs, ratings_of, strand_of
from engine.graph.return_sides import Side, Sides
from engine.model.quantity import is_exact

SMALL_OR_EXEMPT = frozenset({"starter", "switch", "meter"})


class Pushed(msgspec.Struct, frozen=True):
    """What can be made to flow through a return, A, with the fields that keep it open."""

    least_a: float
    most_a: float
    lacks: tuple[str, ...] = ()


def returns(boat: Boat) -> Mapping[str, Pushed]:
    """Run id of every negative conductor that runs without its positive -> what can be made to flow through it.

    Left out are starter cables, conductors in a ring, and those behind circuits without any device (found elsewhere).
    """
    ends = _Ends(boat)
    pushed = ((run, ends.pushed(run, one, other)) for run, one, other in boat.carry_wiring(_parted))
    return {run: each for run, each in pushed if each.most_a < UNLIMITED or each.lacks}


def _parted(boat: Boat) -> tuple[tuple[str, Side, Side], ...]:
    """Each of the conductors, with the ends on either side."""
    exempt = boat.carry_wiring(cranking_cores)
    sides = Sides(boat, frozenset({*boat.carry_parts(_batteries), *boat.carry_parts(_loads)}))
    asked = (
        run for run in boat.network.runs if "-" in run.poles and "+" not in run.poles and (run.id, "-") not in exempt
    )
    return tuple((run.id, *parted) for run in asked if (parted := sides.of(run)) is not None)


class _Ends:
    """The batteries and loads by their negative nodes, and the positive wiring between them."""

    def __init__(self, boat: Boat) -> None:
        self._boat = boat
        batteries, self._loads = boat.carry_parts(_batteries), boat.carry_parts(_loads)
        self._batteries, self._load_backs = frozenset(batteries), frozenset(self._loads)
        devices = boat.devices() if boat.currents.open_devices else ()
        self._unknown = tuple(
            f"{edge.key} rating_a" for _, _, edge in devices if not is_exact(boat.rating_of(edge)) and edge.pole == "+"
        )
        facts = ratings_of(boat), batteries, self._loads
        self._strands = [strand_of(strand, facts) for strand in boat.graphs.strands["+"]]

    def pushed(self, run: str, one: Side, other: Side) -> Pushed:
        """The larger of the two directions: batteries here, loads there."""
        found = self._one_way(f"{run} to", one, other), self._one_way(f"{run} from", other, one)
        least, most = max(each.least_a for each in found), max(each.most_a for each in found)
        return Pushed(least, most, self._unknown if most > least else ())

    def _one_way(self, name: str, here: Side, there: Side) -> Pushed:
        """From the batteries here to the loads there; to a single load simply what can be pushed into its supply."""
        batteries = here.among(self._batteries)
        if self._batteries and not batteries:
            return Pushed(0.0, 0.0)
        if len(batteries) == len(self._batteries) and len(loads := there.among(self._load_backs)) == 1:
            return self._into(*(self._loads[back] for back in loads))
        flows = [strand.flows(name, batteries, there) for strand in self._strands]
        least_a, most_a = (fsum(amount for each in flows for amount in each[end]) for end in (0, 1))
        return Pushed(least_a, most_a)

    def _into(self, live: Node) -> Pushed:
        most, least = self._boat.currents.fed_by(self._boat.parts[live[0]], live[1], "+") or (NOTHING, NOTHING)
        return Pushed(least.current_a, most.current_a)


def _batteries(boat: Boat) -> Backs:
    return {place.back: place.live for place in boat.source_places if place.kind == "battery" and place.back}


def _loads(boat: Boat) -> Backs:
    """Everything that draws; left out are starters, and coils and meters, which pass little even into a fault."""
    found: dict[Node, Node] = {}
    for a, b, edge in boat.inside("load"):
        if edge.part is not None and boat.role(edge.part) not in SMALL_OR_EXEMPT:
            live, back = (a, b) if a[2] == "+" else (b, a)
            if (live[2], back[2]) == ("+", "-"):
                found[back] = live
    return found
