"""Can each panel's bus and each bus bar carry what its circuits draw together?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat, quantity
from engine.graph.flows import UNLIMITED
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import EARTHS, Bound, judged
from engine.rules.each import Turn, demand_of, of_each, runs_of
from engine.rules.protection import devices_by_key, key_lacks

BASIS = (
    Basis("any", "common practice", "A bus is not loaded beyond the current its maker states.", "practice"),
)  # fmt: skip
REMEDY = "Take circuits off it, or fit a bus of a higher rating."


def _buses(boat: Boat, book: Book) -> Mapping[str, Part]:
    """Panels, and bars that have a rating and carry current."""

    def found() -> Mapping[str, Part]:
        bars = [bar for bar in boat.with_role("bus") if _is_rated(boat, bar) and _carries(boat, bar)]
        return {part.id: part for part in (*boat.with_role("dc_panel", "ac_panel"), *bars)}

    return boat.carry_records("rated buses", found)


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.parts_at(turn.runs | runs_of(turn.differing(demand_of) | turn.pushed_otherwise))


@rule(
    "overloaded-bus",
    title="Bus loaded beyond its rating",
    books=("any",),
    basis=BASIS,
    wordings={
        "panel": Wording(
            severity="requirement",
            sentence="The circuits of {part} draw {load} A together, more than the {rated} A of its bus.",
            remedy=REMEDY,
            formula="{load} A > {rated} A",
        ),
        "bar": Wording(
            severity="requirement",
            sentence="{part} carries {load} A in one of its conductors, more than its {rated} A.",
            remedy=REMEDY,
            formula="{load} A > {rated} A",
        ),
    },
    needs="Rating of each bus and panel, current of each load.",
)
@of_each(_buses, _touched)
def overloaded_bus(boat: Boat, book: Book, part: Part) -> Iterator[Outcome]:
    """The bar behind a panel carries the sum of its circuits. It has no fuse of its own and is often forgotten when circuits
    are added one by one. All loads are counted with their running current at once, spare ways with nothing, and all together
    with no more than the devices before the panel let through."""
    if boat.role(part) == "bus":
        yield _judge(boat, part, "bar", "rating_a", largest_load(boat, part))
    else:
        yield _judge(boat, part, "panel", "bus_a", _held(ways_load(boat, part), let_through(boat, part)))


def _is_rated(boat: Boat, bar: Part) -> bool:
    kind = boat.kind(bar)
    return kind is not None and any(value.name == "rating_a" for value in kind.value)


def _held(load: Bound, limit: Bound) -> Bound:
    least, most = min(load.least, limit.least), min(load.most, limit.most)
    return Bound(least, most, (*load.lacks, *limit.lacks) if least < most else ())


def _carries(boat: Boat, bar: Part) -> bool:
    return any(pole not in EARTHS for port in boat.ports(bar) for pole in port.poles)


def ways_load(boat: Boat, panel: Part) -> Bound:
    """What the ways of a panel draw together; of a split service the larger line."""
    demands, lines = boat.demand, dict[str, Bound]()
    for position in panel.positions:
        for run in boat.runs_at.get((panel.id, f"p{position.key}"), ()):
            for pole in run.poles:
                demand = demands.get((run.id, pole))
                if demand is not None and pole in ("+", "L", "L1", "L2"):
                    sofar = lines.get(pole, Bound(0, 0))
                    lines[pole] = Bound(
                        sofar.least + demand.least_a, sofar.most + demand.most_a, sofar.lacks + demand.unknown
                    )
    return max(lines.values(), key=lambda bound: bound.most, default=Bound(0, 0))


def let_through(boat: Boat, panel: Part) -> Bound:
    """What the devices before a panel let into its bus, A; no limit where nothing feeds it."""
    fed = [boat.currents.fed_by(panel, "feed", pole) for pole in ("+", "L", "L1", "L2")]
    feeds = [(most, least) for most, least in filter(None, fed) if most.current_a > 0]
    devices = devices_by_key(boat)
    keys = dict.fromkeys(key for pair in feeds for feed in pair for key, _ in feed.by)
    lacks = tuple(lack for key in keys for lack in key_lacks(boat, key, devices, largest=False))
    least = min((least.current_a for _, least in feeds), default=UNLIMITED)
    return Bound(least, max((most.current_a for most, _ in feeds), default=UNLIMITED), lacks)


def largest_load(boat: Boat, bar: Part) -> Bound:
    """The largest current of a conductor that lands on the bar, cranking cables left out."""
    found = [
        boat.demand[run.id, pole]
        for port in boat.ports(bar)
        for run in boat.runs_at.get((bar.id, port.name), ())
        for pole in run.poles
        if (run.id, pole) in boat.demand and pole in port.poles and not run.cranking
    ]
    lacks = tuple(field for demand in found for field in demand.unknown)
    least = max((demand.least_a for demand in found), default=0.0)
    return Bound(least, max((demand.most_a for demand in found), default=0.0), lacks)


def _judge(boat: Boat, part: Part, code: str, field: str, load: Bound) -> Outcome:
    rated = quantity(part, field)
    lacks = () if is_exact(rated) else (f"part:{part.id} {field}",)
    return judged(
        code,
        (f"part:{part.id}",),
        safe=load.most <= low(rated, 0.0),
        hopeless=load.least > high(rated),
        lacks=(*lacks, *load.lacks),
        values={"part": boat.name(part), "load": load.text, "rated": high(rated, 0.0)},
    )
