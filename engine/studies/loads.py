"""The load analysis: in each operating condition, what every load draws, and what that sums to over each conductor, through
each panel and bus and out of each source and AC leg.

Diversified amperes are full load times duty; what rests draws its stand-by current. Every sum keeps its terms, so that it
can be traced. What is not known keeps a sum open at the top. Knows no rule and no paper.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

import msgspec

from engine.electrics.sources import number_text
from engine.graph.boat import Boat, quantity
from engine.graph.poles import SPLIT_LINES, Node
from engine.graph.sources import to_neutral
from engine.model.network import AC_LINES, Part
from engine.studies.conditions import Case, case_of, duty_of
from engine.studies.estimate import Estimate, estimated, exactly, over, scaled, text_of, times
from engine.studies.load_figures import Load, bounded, load_of, stated
from engine.studies.load_reach import Beyond, Crossing, Reach, Taps, share_of
from engine.studies.values import field_source

LOADS = ("load_dc", "load_ac", "outlet_ac", "starter", "meter", "protection", "switch")
State = Literal["works", "stands by", "off", "not fed"]
VOLT_FIELDS = ("output_v", "nominal_v")


class Drawn(msgspec.Struct, frozen=True):
    """What a load draws in a condition: its duty, 0 to 1, and the diversified current with its formula."""

    state: State
    duty: float
    amount: Estimate


class Item(msgspec.Struct, frozen=True):
    """One term of a sum: who takes it, in which state, how much."""

    part: Part
    name: str
    state: State
    amount: Estimate
    load: Load | None = None
    """None: a converter, which takes what it gives."""


class Sum(msgspec.Struct, frozen=True):
    """What is taken somewhere: the terms for certain, and those that may come by another way."""

    items: tuple[Item, ...] = ()
    perhaps: tuple[Item, ...] = ()

    @property
    def estimate(self) -> Estimate:
        """The diversified sum, A, with its terms as formula."""
        return self._total(lambda item: item.amount)

    @property
    def running(self) -> Estimate:
        """Everything that works at its full current at once, and what stands by, A."""
        return self._total(at_full)

    @property
    def standby(self) -> Estimate:
        """What stands by, A."""
        resting = Sum(
            *(tuple(item for item in each if item.state == "stands by") for each in (self.items, self.perhaps))
        )
        return resting.estimate

    @property
    def starting(self) -> Estimate:
        """The diversified sum while the one that works and adds most by starting does so, A."""
        base = self.estimate
        adding = [_added(item) for item in (*self.items, *self.perhaps) if _starts(item)]
        if not adding:
            return base
        least, most = max(each.least for each in adding), max(each.most for each in adding)
        top = max(adding, key=lambda each: (each.least, each.middle))
        text = f"{number_text(base.middle)} A + {top.formula}"
        lacks = tuple(dict.fromkeys((*base.lacks, *(lack for each in adding for lack in each.lacks))))
        sources = tuple(dict.fromkeys((*base.sources, *top.sources)))
        return Estimate(base.least + least, base.middle + top.middle, base.most + most, "A", text, sources, lacks)

    def _total(self, of: Callable[[Item], Estimate]) -> Estimate:
        certain, perhaps = [of(item) for item in self.items], [of(item) for item in self.perhaps]
        every = (*certain, *perhaps)
        return Estimate(
            sum(each.least for each in certain), sum(each.middle for each in certain) + sum(e.middle for e in perhaps) / 2,
            sum(each.most for each in every), "A", self._formula(certain, perhaps),
            tuple(dict.fromkeys(source for each in every for source in each.sources)),
            tuple(dict.fromkeys(lack for each in every for lack in each.lacks)),
        )  # fmt: skip

    def _formula(self, certain: Sequence[Estimate], perhaps: Sequence[Estimate]) -> str:
        terms = " + ".join(_term(item, each) for item, each in zip(self.items, certain, strict=True) if each.most > 0)
        others = " + ".join(
            _term(item, each) for item, each in zip(self.perhaps, perhaps, strict=True) if each.most > 0
        )
        if not others:
            return terms or "nothing draws current here"
        more = f"from nothing to all of ({others}), which another way or source may carry"
        return f"{terms} + {more}" if terms else more


def _term(item: Item, value: Estimate) -> str:
    return f"{item.part.designation or item.part.id} {text_of(value, 3).removesuffix(' A')}"


def at_full(item: Item) -> Estimate:
    """Its full current where it works, else what it draws, A."""
    return item.load.running_a if item.load is not None and item.state == "works" else item.amount


def _starts(item: Item) -> bool:
    return item.load is not None and item.load.starting_a is not None and item.state == "works"


def _added(item: Item) -> Estimate:
    """What its starting adds to its share in the sum."""
    assert item.load is not None
    assert item.load.starting_a is not None
    start, share = item.load.starting_a, item.amount
    text = f"({item.part.designation} starting {start.formula} − {number_text(share.middle)} A)"
    return Estimate(
        max(0.0, start.least - share.least), max(0.0, start.middle - share.middle), max(0.0, start.most - share.least),
        "A", text, start.sources, start.lacks,
    )  # fmt: skip


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
            drawn = self.drawn(part)
            return Item(part, self.boat.name(part), drawn.state, drawn.amount, self.loads[part.id])
        self._amounts[node] = Item(part, self.boat.name(part), "works", _open(part))  # for one that feeds itself
        return Item(part, self.boat.name(part), "works", self._taken(node))

    def _taken(self, node: Node) -> Estimate:
        """What a converter or diode takes at a pole."""
        crossings = [each for each in self.reach.crossings if each.start == node]
        charged = [each for each in crossings if self._has_battery(each.end)]
        return self._charging(charged[0]) if charged else self._crossed(crossings[0], self._given(node, crossings))

    def _given(self, node: Node, crossings: Sequence[Crossing]) -> Estimate:
        """What is taken on the rails it feeds; where others feed them too, from nothing to all of it."""
        rails = {self.reach.rail(each.end) for each in crossings}
        taps = frozenset(tap for rail in rails for tap in self.reach.on_rail(rail)) - {node}
        feeds = frozenset(feed for rail in rails for feed in self.reach.feeds.get(rail, ()))
        alone = feeds <= {each.end for each in crossings}
        return (self._sum(Beyond(taps)) if alone else self._sum(Beyond(perhaps=(taps,)))).estimate

    def _has_battery(self, node: Node) -> bool:
        feeds = self.reach.feeds.get(self.reach.rail(node), frozenset())
        return any(self.boat.role(self.boat.parts[each[0]]) == "battery" for each in feeds)

    def _charging(self, crossing: Crossing) -> Estimate:
        part, share = crossing.part, share_of(self.boat, crossing.edge, self.case)
        if crossing.edge.kind == "blocking":
            return exactly(0.0, "A", "it charges; that is no load")
        taken = stated(self.boat, part, "input_a", "A")
        if taken is not None:
            return scaled(taken, share, "A", taken.formula + _duty_text(share))
        assert crossing.edge.link is not None
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
