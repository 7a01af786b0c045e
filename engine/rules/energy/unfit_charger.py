"""Rule unfit-charger."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.energy.banks import batteries_at, live_ends, names, stated, summed

CHARGERS = {"shore_charger": "output_a", "inverter_charger": "charge_a"}
PRACTICE = "common practice, no source"


@rule(
    "unfit-charger",
    title="Charger too small or too large for its batteries",
    books=("any",),
    basis=(
        Basis("any", PRACTICE, "A charger gives 10 to 25 % of a flooded bank's Ah, 10 to 40 % of an AGM bank's, 5 to 30 % of a gel "
              "bank's, 10 to 50 % of a lithium bank's.", "practice"),
    ),
    wordings={
        "too-small": Wording(
            "advice",
            "{charger} gives {current} A to {banks}, which wants {least} A at least.",
            "Fit a larger charger, or count on a day and more to charge, and on sulphated plates in a lead bank.",
            "{current} A against {least} A, the least share of {banks}",
        ),
        "too-large": Wording(
            "advice",
            "{charger} gives {current} A to {banks}, which takes {most} A at most.",
            "Limit the charger's current, or ask the battery's maker.",
            "{current} A against {most} A, the largest share of {banks}",
        ),
    },
    parameters=(
        Parameter("flooded", 25, "% of Ah at most, 10 at least", PRACTICE, "memory"),
        Parameter("AGM", 40, "% of Ah at most, 10 at least", PRACTICE, "memory"),
        Parameter("gel", 30, "% of Ah at most, 5 at least", PRACTICE, "memory"),
        Parameter("LiFePO4", 50, "% of Ah at most, 10 at least", PRACTICE, "memory"),
    ),
    needs="The charger's output current; capacity and chemistry of the batteries on its outputs.",
)  # fmt: skip
def unfit_charger(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A charger that is too small never brings a lead bank to full over a weekend, and what is not full sulphates. One that
    is too large heats the bank and makes it gas."""
    groups: dict[tuple[str, ...], list[Part]] = {}
    for part in boat.network.parts:
        if part.kind in CHARGERS:
            batteries = batteries_at(boat, live_ends(boat, part, "converter"))
            groups.setdefault(tuple(each.id for each in batteries), []).append(part)
    for ids, chargers in groups.items():  # chargers of the same batteries work together
        if ids:
            yield from _judge(boat, chargers, [boat.parts[each] for each in ids])


def _judge(boat: Boat, chargers: Sequence[Part], batteries: Sequence[Part]) -> Iterator[Outcome]:
    each = [stated(part, CHARGERS[part.kind]) for part in chargers]
    current = Bound(sum(one.least for one in each), sum(one.most for one in each))
    wants, wants_less = summed(batteries, "charger_pct", lambda share: share.least / 100)
    takes_more, takes = summed(batteries, "charger_pct", lambda share: share.most / 100)
    lacks = (*(field for one in each for field in one.lacks), *wants.lacks)
    subjects = (*(f"part:{part.id}" for part in chargers), *(f"part:{part.id}" for part in batteries))
    said = {"charger": names(boat, chargers), "banks": names(boat, batteries), "current": current.text}
    yield judged(
        "too-small", subjects, safe=current.least >= wants.most, hopeless=current.most < wants_less.least, lacks=lacks,
        values={**said, "least": wants_less.text},
    )  # fmt: skip
    yield judged(
        "too-large", subjects, safe=current.most <= takes.least, hopeless=current.least > takes_more.most, lacks=lacks,
        values={**said, "most": takes_more.text},
    )  # fmt: skip
