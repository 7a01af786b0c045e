"""Which bank bears what a load takes, and which gets what a source gives, with the switches, sources and converters of a case.

Live wiring that hangs together is one rail; batteries on one rail, or with the same battery number, are one bank. Knows no Ah.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.listed import edges_of, web_of
from engine.graph.poles import Edge, Node
from engine.model.network import AC_LINES, Part
from engine.studies.conditions import Case, duty_of
from engine.studies.elements import graph_of

PARTING = frozenset({"blocking", "bond"})
CROSSING = frozenset({"blocking", "converter"})


class Way(msgspec.Struct, frozen=True):
    """From a rail to a bank: the parts passed over (converters, diodes), nearest the rail first. `rail` is where it ends."""

    bank: int
    rail: int
    parts: tuple[Part, ...] = ()


class Crossing(msgspec.Struct, frozen=True):
    """A converter or diode between two rails; energy goes from `start` to `end`."""

    part: Part
    start: int
    end: int
    kind: str


class Feeding:
    """The rails of a boat in a case, the banks on them, and what lies between them."""

    def __init__(self, boat: Boat, case: Case) -> None:
        self.boat, self.case = boat, case
        self._graph = graph_of(boat, case)
        self.rails = self._rails()
        self.crossings = tuple({(each.part.id, each.start, each.end): each for each in self._crossings()}.values())
        self.banks = self._banks()
        self._bank_at = {rail: number for number, rails in enumerate(self.banks) for rail in rails}

    def _rails(self) -> Mapping[Node, int]:
        web, found = web_of(self._graph), dict[Node, int]()
        for start in web:
            if start[2] in LIVE_POLES and start not in found:
                number, queue = len(found), [start]
                found[start] = number
                while queue:
                    for other, edge in web[queue.pop()]:
                        if other not in found and _carries(other, edge):
                            found[other] = number
                            queue.append(other)
        return found

    def _crossings(self) -> Iterator[Crossing]:
        for _, _, edge in edges_of(self._graph):
            link = edge.link
            if edge.kind in CROSSING and link is not None:
                part = self.boat.part_of(edge)
                ends = [self.rails.get((part.id, *end)) for end in (link.a, link.b)]
                if ends[0] is not None and ends[1] is not None and self.works(part):
                    yield Crossing(part, ends[0], ends[1], edge.kind)

    def _banks(self) -> tuple[frozenset[int], ...]:
        """The rails of each bank, in the order of the parts."""
        found: list[set[int]] = []
        numbers: dict[object, set[int]] = {}
        for part in self.boat.with_role("battery"):
            rail, number = self._post(part), part.values.get("battery_number")
            bank = next((each for each in found if rail in each), None) or numbers.get(number)
            if bank is None:
                bank = set[int]()
                found.append(bank)
            bank.add(rail)
            if number not in (None, ""):
                numbers[number] = bank
        return tuple(frozenset(each) for each in found)

    def _post(self, battery: Part) -> int:
        return next(
            (self.rails[part.id, *link.b] for part in (battery,) for link in self.boat.links(part)
             if link.kind == "source" and (part.id, *link.b) in self.rails), -1,
        )  # fmt: skip

    def batteries(self, bank: int) -> tuple[Part, ...]:
        """The batteries of a bank."""
        return tuple(part for part in self.boat.with_role("battery") if self._post(part) in self.banks[bank])

    def works(self, part: Part) -> bool:
        """Whether a converter or source works in the case; a charger fed with AC only where the case says so."""
        if part.kind == "inverter_charger" and self._is_passing(part):
            return self.case.duty.get(part.id, 0.0) > 0
        return duty_of(self.boat, part, self.case) > 0

    def _is_passing(self, part: Part) -> bool:
        state = (self.case.switches or {}).get(part.id, "passing" if self.case.switches is None else "off")
        return state == "passing"

    def bearers(self, node: Node) -> tuple[Way, ...]:
        """The banks that bear what is taken at a node; none where it is dead, or a working AC source carries it."""
        rail = self.rails.get(node)
        return self.bearers_of_rail(rail) if rail is not None else ()

    def bearers_of_rail(self, rail: int) -> tuple[Way, ...]:
        """The same for a rail; each bank once."""
        found = tuple(self._up(rail, (), frozenset()))
        return tuple({way.bank: way for way in reversed(found)}.values())

    def _up(self, rail: int, parts: tuple[Part, ...], seen: frozenset[int]) -> Iterator[Way]:
        if rail in self._bank_at:
            yield Way(self._bank_at[rail], rail, parts)
        elif rail not in seen and not self.ac_sources(rail):
            for each in self.crossings:
                if each.end == rail:
                    yield from self._up(each.start, (*parts, each.part), seen | {rail})

    def takers(self, node: Node) -> tuple[Way, ...]:
        """The banks that get what is given at a node."""
        rail = self.rails.get(node)
        return tuple(self._down(rail, (), frozenset())) if rail is not None else ()

    def _down(self, rail: int, parts: tuple[Part, ...], seen: frozenset[int]) -> Iterator[Way]:
        if rail in self._bank_at:
            yield Way(self._bank_at[rail], rail, parts)
        elif rail not in seen:
            for each in self.crossings:
                if each.start == rail:
                    yield from self._down(each.end, (*parts, each.part), seen | {rail})

    def ac_sources(self, rail: int) -> tuple[Part, ...]:
        """The AC sources that work on a rail, or on one that feeds it through a transformer."""
        own = [part for part in self.boat.with_role("ac_source") if self._gives_to(part, rail) and self.works(part)]
        before = [each.start for each in self.crossings if each.end == rail and self._is_ac(each.start)]
        return (*own, *(part for other in before if other != rail for part in self.ac_sources(other)))

    def _gives_to(self, part: Part, rail: int) -> bool:
        links = (link for link in self.boat.links(part) if link.kind == "source")
        return any(self.rails.get((part.id, *link.b)) == rail for link in links)

    def _is_ac(self, rail: int) -> bool:
        return any(number == rail and node[2] in AC_LINES for node, number in self.rails.items())

    def between_banks(self) -> tuple[tuple[Part, int, int], ...]:
        """The converters that take from one bank and give to another, with both."""
        found = []
        for each in self.crossings:
            start, end = self._bank_at.get(each.start), self._bank_at.get(each.end)
            if each.kind == "converter" and start is not None and end is not None and start != end:
                found.append((each.part, start, end))
        return tuple(found)


def _carries(other: Node, edge: Edge) -> bool:
    return other[2] in LIVE_POLES and edge.conducts and edge.kind not in PARTING
