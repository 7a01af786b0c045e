"""Does enough voltage arrive at each load and at each panel?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged, rulebook
from engine.rules.drops import (
    CRITICAL_PERCENT,
    LANES,
    ORDINARY_PERCENT,
    Drop,
    before_of,
    drop_and_total,
    limit_of,
    runs_of,
)
from engine.rules.each import Turn, of_each
from engine.rules.routes import Asked
from engine.rules.ways import Way, ways_asked

BASIS = (
    Basis("e11", "ABYC E-11", "At most 3 % for panel feeders, navigation lights, blowers, electronics and other circuits "
          "where it must be small, else at most 10 %, out and back from the battery or the panel.", "secondary"),
    Basis("iso13297", "ISO 10133:2012, 4.7 and 4.8 (now ISO 13297:2020)",
          "At most 3 % for panel feeders, navigation lights, blowers, bilge pumps and safety equipment, else at most 10 % of "
          "the battery's nominal voltage at full load.", "published"),
)  # fmt: skip
REMEDY = "Run a thicker size, or shorten the way."
CODES: Mapping[str, str] = {"branch": "branch-drop", "direct": "direct-drop", "feeder": "feeder-drop"}


def _ways(boat: Boat, book: Book) -> Mapping[Asked, Way]:
    return boat.derive(ways_asked)


def _touched(turn: Turn, book: Book) -> Collection[Asked]:
    """The ways that are others, and those behind feeders that are."""
    panels = turn.differing(LANES[rulebook(book)])
    behind = (asked for asked, way in turn.now.derive(ways_asked).items() if panels and way.source.id in panels)
    return turn.differing(ways_asked).union(behind)


@rule(
    "excessive-voltage-drop",
    title="Too much voltage lost on the way",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "branch-drop": Wording(
            "requirement",
            "{part} loses {drop} % on the way from {source} and back; {limit} % is permitted.",
            REMEDY,
            "{formula} > {limit} %; from the battery {sum} %",
        ),
        "direct-drop": Wording(
            "requirement",
            "{part} loses {drop} % on the way from the battery {source} and back; {limit} % is permitted.",
            REMEDY,
            "{formula} > {limit} %",
        ),
        "feeder-drop": Wording(
            "requirement",
            "The feed of {part} loses {drop} % between {source} and the panel; {limit} % is permitted.",
            REMEDY,
            "{formula} > {limit} %",
        ),
        "sum-drop": Wording(
            "advice",
            "{part} meets its limit from {source}, but loses {sum} % counted from the battery; {limit} % is its limit.",
            "Run a thicker feeder or branch if the load needs its voltage.",
            "{sum} % > {limit} % from the battery, with this circuit alone",
        ),
    },
    parameters=(
        Parameter("critical", CRITICAL_PERCENT, "%", "ABYC E-11, quoted; ISO 10133:2012 4.8", "published"),
        Parameter("ordinary", ORDINARY_PERCENT, "%", "ABYC E-11, quoted; ISO 10133:2012 4.7", "memory"),
        Parameter("K of E-11", 10.75, "ohm cmil/ft", "ABYC E-11, voltage drop formula as reprinted", "secondary"),
        Parameter("factor of ISO", 0.0164, "ohm mm²/m", "ISO 13297, formula as quoted", "secondary"),
    ),
    needs="Length and size of each run, current and class of each load, the battery's nominal voltage.",
)
@of_each(_ways, _touched)
def excessive_voltage_drop(boat: Boat, book: Book, way: Way) -> Iterator[Outcome]:
    """Lamps go dim, pumps slow down and motors draw more current when voltage is lost in thin or long conductors. A
    navigation light at 90 % of its voltage gives two thirds of its light. The drop is counted out and back by the
    standard's own formula: of a branch from its panel, of a panel's feeder and of a load without a panel from the battery.
    The drop of a branch counted from the battery is shown beside it, and named as advice where it alone exceeds."""
    if not way.out:
        return
    before = before_of(boat, rulebook(book))
    drop, total = drop_and_total(way, before.lane(way.source), rulebook(book))
    limit, lacks = limit_of(way)
    yield _outcome(boat, CODES[way.kind], way, drop, total, limit, lacks)
    feeders = before.feeders(way.source)
    if feeders and drop.percent.most <= limit < total.percent.least and not lacks:
        yield _outcome(boat, "sum-drop", way, total, total, limit, (), feeders)


def _subjects(way: Way) -> tuple[str, ...]:
    return (f"part:{way.part.id}", *dict.fromkeys(runs_of((way,))))


def _outcome(
    boat: Boat,
    code: str,
    way: Way,
    drop: Drop,
    total: Drop,
    limit: float,
    lacks: tuple[str, ...],
    before: tuple[Way, ...] = (),
) -> Outcome:
    strictest = CRITICAL_PERCENT if lacks else limit
    no_return = () if way.back is not None else (f"part:{way.part.id} way_back",)
    subjects = _subjects(way)
    return judged(
        code,
        subjects,
        safe=drop.percent.most <= strictest and not no_return,
        hopeless=drop.percent.least > limit,
        lacks=(*drop.percent.lacks, *lacks, *no_return),
        values=lambda: {
            "part": boat.name(way.part),
            "source": boat.name(way.source),
            "drop": drop.percent.text,
            "sum": total.percent.text,
            "limit": limit,
            "formula": drop.formula,
        },
        sources=drop.sources,
        path=(*subjects[1:], *runs_of(before)),
    )
