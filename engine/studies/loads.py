"""The load analysis: in each operating condition, what every load draws, and what that sums to over each conductor, through
each panel and bus and out of each source and AC leg.

Diversified amperes are full load times duty; what rests draws its stand-by current. Every sum keeps its terms, so that it
can be traced. What is not known keeps a sum open at the top. Knows no rule and no paper.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import SPLIT_LINES, Node
from engine.graph.sources import to_neutral
from engine.model.network import AC_LINES, Part
from engine.studies.conditions import Case, case_of, duty_of
from engine.studies.estimate import Estimate, estimated, exactly, over, scaled, times
from engine.studies.load_figures import Load, bounded, load_of, stated
from engine.studies.load_reach import Beyond, Crossing, Reach, Taps, share_of
from engine.studies.load_sums import Drawn, Item, Sum
from engine.studies.values import field_source

LOADS = ("load_dc", "load_ac", "outlet_ac", "starter", "meter", "protection", "switch")
VOLT_FIELDS = ("output_v", "nominal_v")


class CaseLoads:
    """The loads of one boat in one case."""

    def __init__(self, boat: Boat, case: Case, loads: Mapping[str, Load]) -> None:
        self.boat, self.case, self.loads = boat, case, loads
        self.reach = Reach(boat, case)
        self._over = self.reach.over()
        self._amounts: dict[Node, Item] = {}
        self._order = {part.id: number for number, part in enumerate(boat.network.parts)}

    def drawn(self, part: Part) -> Drawn:
        """What a load draws."""
        load = self.loads[part.id]
        taps = [node for node, owner in self.reach.taps.items() if owner == part.id]
        duty = duty_of(self.boat, part, self.case)
        if not any(self.reach.is_fed(node) for node in taps):
            return Drawn("not fed", duty, exactly(0.0, "A", "no source feeds it here"))
        if duty > 0:
            text = load.running_a.formula + ("" if duty == 1 else f" × duty {number_text(duty)}")
            return Drawn("works", duty, scaled(load.running_a, duty, "A", text))
        return Drawn("stands by" if load.standby_a.most > 0 else "off", 0.0, load.standby_a)

    @cached_property
    def converters(self) -> Mapping[str, Node]:
        """The pole at which each converter that works takes its power, by part id."""
        return {each.part.id: each.start for each in self.reach.crossings if each.edge.kind == "converter"}

    def taken_by(self, part: Part) -> Drawn:
        """What a converter takes."""
        node = self.converters.get(part.id)
        if node is None:
            return Drawn("off", 0.0, exactly(0.0, "A", "it does not work here"))
        share = max(share_of(self.boat, each.edge, self.case) for each in self.reach.crossings if each.start == node)
        if not self.reach.is_fed(node):
            return Drawn("not fed", share, exactly(0.0, "A", "no source feeds it here"))
        return Drawn("works", share, self._item(node).amount)

    def converter(self, part: Part) -> Load:
        """A converter that works as a load, with what it takes here as its running current."""
        node = self.converters[part.id]
        taken, volts = self._item(node).amount, self._volts(node, "")
        none = exactly(0.0, "A", "counts as a load while it works only")
        return Load(part, node[2] in AC_LINES, volts, times(taken, volts, "W"), taken, None, none)

    def over(self, run: str, pole: str) -> Sum:
        """What is taken over a core of a run."""
        return self._sum(self._over.get((run, pole), Beyond()))

    def through(self, part: Part, pole: str) -> Sum:
        """What is taken through a part, or out of a source."""
        return self.out_of((part,), pole)

    def out_of(self, parts: Iterable[Part], pole: str) -> Sum:
        """What is taken out of several parts together: the batteries of a bank."""
        return self._sum(self.reach.through(node for part in parts for node in self._poles(part, pole)))

    def _poles(self, part: Part, pole: str) -> Iterator[Node]:
        """The poles of a part that count: of a converter those it feeds, where it does not itself draw."""
        crosses = self.boat.role(part) in ("converter", "transformer")
        feeds = {source.live for source in self.boat.sources if source.part.id == part.id} - self.reach.taps.keys()
        for node in self.reach.nodes_of(part.id):
            if node[2] == pole and (node in feeds or not crosses):
                yield node

    def _sum(self, beyond: Beyond) -> Sum:
        groups = [self._items(taps) for taps in beyond.perhaps]
        most = max(groups, key=lambda items: sum(item.amount.most for item in items), default=())
        return Sum(self._items(beyond.certain), most)

    def _items(self, taps: Taps) -> tuple[Item, ...]:
        return tuple(self._item(node) for node in sorted(taps, key=lambda node: (self._order[node[0]], node)))

    def _item(self, node: Node) -> Item:
        if node not in self._amounts:
            self._amounts[node] = self._made(node)
        return self._amounts[node]

    def _made(self, node: Node) -> Item:
        part = self.boat.parts[self.reach.taps[node]]
        if part.id in self.loads:
            load, drawn = self.loads[part.id], self.drawn(part)
            works = drawn.state == "works"
            full, start = (load.running_a, load.starting_a) if works else (drawn.amount, None)
            return Item(part, drawn.state, drawn.amount, full, start, load)
        self._amounts[node] = Item(part, "works", _open(part), _open(part))  # for one that feeds itself
        return self._converting(part, node)

    def _converting(self, part: Part, node: Node) -> Item:
        """What a converter or diode takes at a pole: a charger by its rating, others by what is taken beyond them."""
        crossings = [each for each in self.reach.crossings if each.start == node]
        charged = [each for each in crossings if self._has_battery(each.end)]
        if charged:
            first, share = charged[0], share_of(self.boat, charged[0].edge, self.case)
            return Item(part, "works", self._charging(first, share), self._charging(first, 1.0))
        first, given = crossings[0], self._given(node, crossings)
        starts = any(item.start is not None for item in (*given.items, *given.perhaps))
        start = self._crossed(first, given.starting) if starts else None
        return Item(part, "works", self._crossed(first, given.estimate), self._crossed(first, given.running), start)

    def _given(self, node: Node, crossings: Sequence[Crossing]) -> Sum:
        """What is taken on the rails it feeds; where others feed them too, from nothing to all of it."""
        rails = {self.reach.rail(each.end) for each in crossings}
        taps = frozenset(tap for rail in rails for tap in self.reach.on_rail(rail)) - {node}
        feeds = frozenset(feed for rail in rails for feed in self.reach.feeds.get(rail, ()))
        return self._sum(Beyond(taps) if feeds <= {each.end for each in crossings} else Beyond(perhaps=(taps,)))

    def _has_battery(self, node: Node) -> bool:
        feeds = self.reach.feeds.get(self.reach.rail(node), frozenset())
        return any(self.boat.role(self.boat.parts[each[0]]) == "battery" for each in feeds)

    def _charging(self, crossing: Crossing, share: float) -> Estimate:
        """What a charger takes at a share of its rating."""
        part = crossing.part
        if crossing.edge.kind == "blocking":
            return exactly(0.0, "A", "it charges; that is no load")
        taken = stated(self.boat, part, "input_a", "A")
        if taken is not None:
            return scaled(taken, share, "A", taken.formula + _duty_text(share))
        rated = _rating(self.boat, crossing)
        return self._crossed(crossing, scaled(rated, share, "A", rated.formula + _duty_text(share)))

    def _crossed(self, crossing: Crossing, given: Estimate) -> Estimate:
        """What is taken for what is given: by the voltages of both sides, over the efficiency."""
        if crossing.edge.kind == "blocking":
            return given
        there, here = self._volts(crossing.end, "absorption_v"), self._volts(crossing.start, "lowest_input_v")
        efficiency = efficiency_of(self.boat, crossing)
        text = f"({_short(given)}) × {there.formula} / ({efficiency.formula} × {here.formula})"
        return over(times(given, there, "VA"), times(efficiency, here, "V"), "A", text)

    def _volts(self, node: Node, own: str) -> Estimate:
        """The voltage at a converter's pole: what it states of itself under `own`, else what feeds the rail states."""
        part = self.boat.parts[node[0]]
        known = stated(self.boat, part, own, "V") if own else None
        feeds = (volts_of(self.boat, feed) for feed in sorted(self.reach.feeds.get(self.reach.rail(node), ())))
        known = known or next((volts for volts in feeds if volts is not None), None) or volts_of(self.boat, node)
        return known or estimated(None, "V", f"part:{part.id} nominal_v")


def _short(given: Estimate) -> str:
    return number_text(given.middle) + " A" if given.exact else given.formula


def _duty_text(share: float) -> str:
    return "" if share == 1 else f" × duty {number_text(share)}"


def _open(part: Part) -> Estimate:
    return estimated(None, "A", f"part:{part.id} input_a")


def _rating(boat: Boat, crossing: Crossing) -> Estimate:
    part = crossing.part
    for name in ("output_a", "charge_a"):
        if (known := stated(boat, part, name, "A")) is not None:
            return known
    return estimated(None, "A", f"part:{part.id} output_a")


def volts_of(boat: Boat, feed: Node) -> Estimate | None:
    """What a source states as its voltage at one of its poles, V; of a split supply that to its neutral."""
    part = boat.parts[feed[0]]
    for name in VOLT_FIELDS:
        known = quantity(part, name)
        if known is not None:
            known = to_neutral(known) if feed[2] in SPLIT_LINES else known
            return estimated(known, "V", "", field_source(boat, part, name))
    return None


def efficiency_of(boat: Boat, crossing: Crossing) -> Estimate:
    """What a converter gives over what it takes: stated, else between the bounds of its kind."""
    part, taken, given = crossing.part, crossing.start[2], crossing.end[2]
    known = stated(boat, part, "efficiency_pct", "%")
    if known is not None:
        return scaled(known, 0.01, "", f"{known.formula.removesuffix(' %')} %")
    if taken in AC_LINES:
        return bounded("transformer_efficiency" if given in AC_LINES else "charger_efficiency", 100)
    if given in AC_LINES:
        return bounded("inverter_efficiency", 100)
    return bounded("controller_efficiency" if part.kind == "charge_controller" else "dcdc_efficiency", 100)


class LoadAnalysis:
    """The loads of a boat in every condition of the document; without any, with everything on."""

    def __init__(self, boat: Boat) -> None:
        self.boat = boat
        drawing = [part for part in boat.with_role(*LOADS) if any(link.kind == "load" for link in boat.links(part))]
        volts = _system_volts(boat)
        self.loads: Mapping[str, Load] = {part.id: load_of(boat, part, volts.get(part.id)) for part in drawing}
        conditions = boat.network.conditions
        self.cases = tuple(case_of(boat, each) for each in conditions) or (case_of(boat),)

    @cached_property
    def each(self) -> tuple[CaseLoads, ...]:
        """One for every case, in their order."""
        return tuple(CaseLoads(self.boat, case, self.loads) for case in self.cases)

    @cached_property
    def full(self) -> CaseLoads:
        """Every load on at once and every charger at work."""
        chargers = [part for part in self.boat.with_role("converter") if _charges_from_ac(self.boat, part)]
        duty = dict.fromkeys((part.id for part in chargers), 1.0)
        return CaseLoads(self.boat, msgspec.structs.replace(case_of(self.boat), name="", duty=duty), self.loads)


def _system_volts(boat: Boat) -> Mapping[str, Estimate]:
    """Load -> the voltage that a source of its rail states, everything on."""
    reach = Reach(boat, case_of(boat))
    feeds = {node: sorted(reach.feeds.get(reach.rail(node), ())) for node in reach.taps}
    found = ((reach.taps[node], volts_of(boat, feed)) for node, nodes in feeds.items() for feed in nodes[:1])
    return {part: volts for part, volts in found if volts is not None}


def _charges_from_ac(boat: Boat, part: Part) -> bool:
    return any(link.kind == "converter" and link.a[1] in AC_LINES and link.b[1] == "+" for link in boat.links(part))


def load_analysis(boat: Boat) -> LoadAnalysis:
    """The load analysis of a boat, worked out once."""
    return boat.derive(LoadAnalysis)


def natural_key(text: str) -> tuple[tuple[int, str], ...]:
    """A key that puts A2 before A10, and nothing last."""
    pieces = re.findall(r"\d+|\D+", text) or ["\uffff"]
    return tuple((int(piece), "") if piece.isdecimal() else (-1, piece.casefold()) for piece in pieces)


def in_order(parts: Iterable[Part]) -> list[Part]:
    """Parts in the order of their designations."""
    return sorted(parts, key=lambda part: natural_key(part.designation))


class Worst(msgspec.Struct, frozen=True):
    """The condition in which most is taken somewhere, and that sum."""

    condition: str
    sum: Sum


def worst_of(cases: Iterable[CaseLoads], sums: Iterable[Sum]) -> Worst:
    """The case with the largest sum: by the most it can be, then by what is known of it; `sums`: one for each case."""
    found = [Worst(case.case.name, each) for case, each in zip(cases, sums, strict=True)]
    return max(found, key=lambda worst: _size(worst.sum.estimate))


def _size(value: Estimate) -> tuple[float, float, float]:
    return value.most, value.middle if value.middle != float("inf") else 0.0, value.least
