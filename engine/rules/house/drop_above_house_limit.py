"""Rule drop-above-house-limit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.model.house import HouseLimit, Limit, limits_of
from engine.rules.api import Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.drops import CRITICAL_PERCENT, Before, Drop, before_of, drop_and_total, limit_of, runs_of
from engine.rules.house.basis import OWN
from engine.rules.ways import Way, ways

CODES: Mapping[Limit, str] = {
    "critical-drop-percent": "critical", "ordinary-drop-percent": "ordinary", "battery-drop-percent": "from-battery",
}  # fmt: skip
SENTENCE = "{part} loses {drop} % on the way from {source} and back; the house limit is {limit} %: {reason}."
REMEDY = "Run a thicker size, or shorten the way."
FORMULA = "{formula} > {limit} %"


@rule(
    "drop-above-house-limit",
    title="Voltage drop above the yard's own limit",
    books=("any",),
    basis=OWN,
    wordings={
        "critical": Wording("advice", SENTENCE, REMEDY, FORMULA),
        "ordinary": Wording("advice", SENTENCE, REMEDY, FORMULA),
        "from-battery": Wording(
            "advice",
            "{part} loses {drop} % counted from the battery; the house limit is {limit} %: {reason}.",
            REMEDY,
            FORMULA,
        ),
    },
    needs="Length and size of each run, current and class of each load, the battery's nominal voltage.",
)
def drop_above_house_limit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A yard may want brighter lamps and stronger pumps than the standard asks, or the drop counted all the way from the
    battery. The formula is that of the first rulebook the boat declares that has one."""
    limits = limits_of(boat.network.house)
    if not CODES.keys() & limits.keys():
        return
    formula = _formula_of(boat)
    before = before_of(boat, formula)
    for way in boat.derive(ways):
        if way.out:
            yield from _judge(boat, way, before, formula, limits)


def _formula_of(boat: Boat) -> Rulebook:
    return "e11" if "us" in boat.network.particulars.rulebooks else "iso13297"


def _judge(
    boat: Boat, way: Way, before: Before, formula: Rulebook, limits: Mapping[Limit, HouseLimit]
) -> Iterator[Outcome]:
    drop, total = drop_and_total(way, before.lane(way.source), formula)
    permitted, lacks = limit_of(way)
    name: Limit = "critical-drop-percent" if permitted == CRITICAL_PERCENT else "ordinary-drop-percent"
    if name in limits:
        yield _outcome(boat, way, drop, limits[name], lacks)
    if "battery-drop-percent" in limits:
        yield _outcome(boat, way, total, limits["battery-drop-percent"], ())


def _outcome(boat: Boat, way: Way, drop: Drop, limit: HouseLimit, lacks: tuple[str, ...]) -> Outcome:
    no_return = () if way.back is not None else (f"part:{way.part.id} way_back",)
    return judged(
        CODES[limit.limit],
        (f"part:{way.part.id}", *dict.fromkeys(runs_of((way,)))),
        safe=drop.percent.most <= limit.value and not no_return and not lacks,
        hopeless=drop.percent.least > limit.value,
        lacks=(*drop.percent.lacks, *lacks, *no_return),
        values=lambda: {
            "part": boat.name(way.part),
            "source": boat.name(way.source),
            "drop": drop.percent.text,
            "limit": limit.value,
            "reason": limit.reason,
            "formula": drop.formula,
        },
        sources=drop.sources,
    )
