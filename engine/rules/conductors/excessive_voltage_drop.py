"""Does enough voltage arrive at each load and at each panel?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from engine.electrics.sources import Rulebook
from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import judged, rulebook
from engine.rules.drops import Drop, Lane, drop_along, drop_before, lane_of
from engine.rules.ways import Way, cores, ways

CRITICAL_PERCENT, ORDINARY_PERCENT = 3.0, 10.0

BASIS = (
    Basis("e11", "ABYC E-11", "At most 3 % for panel feeders, navigation lights, blowers, electronics and other circuits "
          "where it must be small, else at most 10 %, out and back from the battery or the panel.", "secondary"),
    Basis("iso13297", "ISO 10133:2012, 4.7 and 4.8 (now ISO 13297:2020)",
          "At most 3 % for panel feeders, navigation lights, blowers, bilge pumps and safety equipment, else at most 10 % of "
          "the battery's nominal voltage at full load.", "published"),
)  # fmt: skip
REMEDY = "Run a thicker size, or shorten the way."
CODES: Mapping[str, str] = {"branch": "branch-drop", "direct": "direct-drop", "feeder": "feeder-drop"}


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
def excessive_voltage_drop(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Lamps go dim, pumps slow down and motors draw more current when voltage is lost in thin or long conductors. A
    navigation light at 90 % of its voltage gives two thirds of its light. The drop is counted out and back by the
    standard's own formula: of a branch from its panel, of a panel's feeder and of a load without a panel from the battery.
    The drop of a branch counted from the battery is shown beside it, and named as advice where it alone exceeds."""
    before = Before(boat, rulebook(book))
    for way in boat.derive(ways):
        if way.out:
            yield from _judge(boat, way, rulebook(book), *before.of(way.source))


class Before:
    """What lies between the battery and each panel: the ways of its feeders, and their cores in a row."""

    def __init__(self, boat: Boat, book: Rulebook) -> None:
        self._feeders = {way.part.id: way for way in boat.derive(ways) if way.kind == "feeder"}
        self._book = book
        self._known: dict[str, tuple[tuple[Way, ...], Lane]] = {}

    def of(self, source: Part) -> tuple[tuple[Way, ...], Lane]:
        """The ways before a source, and their cores."""
        if source.id not in self._known:
            before = tuple(_feeders_before(source.id, self._feeders))
            self._known[source.id] = before, lane_of(before, self._book)
        return self._known[source.id]


def _judge(boat: Boat, way: Way, book: Rulebook, before: tuple[Way, ...], lane: Lane) -> Iterator[Outcome]:
    drop = drop_along(boat, way, book)
    total = drop.plus(drop_before(boat, way, lane, book)) if before else drop
    limit, lacks = limit_of(way)
    yield _outcome(boat, CODES[way.kind], way, drop, total, limit, lacks)
    if before and drop.percent.most <= limit < total.percent.least and not lacks:
        yield _outcome(boat, "sum-drop", way, total, total, limit, (), before)


def runs_of(ways_: Iterable[Way]) -> Iterator[str]:
    """The keys of the runs along ways, out and back."""
    for way in ways_:
        yield from (f"run:{run.id}" for run, _ in (*cores(way.out), *cores(way.back or ())))


def _feeders_before(source: str, feeders: Mapping[str, Way]) -> Iterator[Way]:
    seen: set[str] = set()
    while source in feeders and source not in seen:
        seen.add(source)
        yield feeders[source]
        source = feeders[source].source.id


def limit_of(way: Way) -> tuple[float, tuple[str, ...]]:
    """The permitted drop, %; where the class of the load is unknown the milder one, and the field."""
    if way.kind == "feeder":
        return CRITICAL_PERCENT, ()
    wanted = way.part.values.get("drop_class")
    if wanted is None:
        return ORDINARY_PERCENT, (f"part:{way.part.id} drop_class",)
    return (CRITICAL_PERCENT if wanted == "critical" else ORDINARY_PERCENT), ()


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
    runs = list(dict.fromkeys(runs_of((way,))))
    return judged(
        code,
        (f"part:{way.part.id}", *runs),
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
        path=(*runs, *runs_of(before)),
    )
