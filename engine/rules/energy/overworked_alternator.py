"""Rule overworked-alternator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.graph.boat import Boat
from engine.model.network import Part
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.energy.banks import batteries_at, joined_alone, keys, live_ends, names, stated

LITHIUM = "LiFePO4"
TAKES, STANDS = 0.5, 0.5
RECALLED = "recalled"


@rule(
    "overworked-alternator",
    title="Alternator wired straight to a lithium bank that asks too much of it",
    books=("any",),
    basis=(
        Basis("any", "common practice, no source", "A lithium bank takes all that an alternator gives until it is nearly full; a "
              "common alternator stands about half of its rating for hours.", "practice"),
    ),
    wordings={
        "into-lithium": Wording(
            "advice",
            "{alternator} stands about {stands} A for hours, and {banks} takes {takes} A as long as it is not nearly full.",
            "Charge the bank through a DC-DC charger, or with a regulator that watches the alternator's temperature.",
            "{rated} A × 0.5 = {stands} A against {capacity} Ah × 0.5 = {takes} A",
        ),
    },
    parameters=(
        Parameter("what a lithium bank takes", TAKES, "A for each Ah", RECALLED, "memory"),
        Parameter("what an alternator stands for hours", STANDS, "of its rated current (0.4 to 0.6)", RECALLED, "memory"),
    ),
    needs="The alternator's rated current; chemistry and capacity of the batteries it is wired to, or a relay joins to them.",
)  # fmt: skip
def overworked_alternator(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A lead bank soon takes less than the alternator gives, and lets it cool. A lithium bank never does: an alternator at full
    output for an hour at low speed burns out, and until then runs hot beside the fuel lines."""
    for part in boat.network.parts:
        if part.kind == "alternator":
            batteries = joined_alone(boat, batteries_at(boat, live_ends(boat, part, "source")))
            yield from [_judge(boat, part, batteries)] if batteries else []


def _judge(boat: Boat, part: Part, batteries: Sequence[Part]) -> Outcome:
    rated, known = stated(part, "rated_a"), [each for each in batteries if each.values.get("chemistry") == LITHIUM]
    open_ones = [each for each in batteries if each.values.get("chemistry") is None]
    least, most = _capacity(known), _capacity([*known, *open_ones])
    lacks = (*rated.lacks, *most.lacks, *(f"part:{each.id} chemistry" for each in open_ones))
    if not known and not open_ones:
        return judged("into-lithium", keys(part, batteries), safe=True, hopeless=False)
    safe = most.most * TAKES <= rated.least * STANDS
    hopeless = least.least * TAKES > rated.most * STANDS
    said = {
        "alternator": boat.name(part), "banks": names(boat, known), "rated": rated.text, "capacity": least.text,
        "stands": Bound(rated.least * STANDS, rated.most * STANDS).text,
        "takes": Bound(least.least * TAKES, least.most * TAKES).text,
    }  # fmt: skip
    return judged(
        "into-lithium", keys(part, known or batteries), safe=safe, hopeless=hopeless, lacks=lacks, values=said
    )


def _capacity(batteries: Sequence[Part]) -> Bound:
    found = [stated(each, "capacity_ah") for each in batteries]
    lacks = tuple(field for each in found for field in each.lacks)
    return Bound(sum(each.least for each in found), sum(each.most for each in found), lacks)
