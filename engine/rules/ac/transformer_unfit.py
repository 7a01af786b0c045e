"""Rule transformer-unfit."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.graph.flows import UNLIMITED
from engine.graph.paths import reach
from engine.model.network import AC_LINES, Part, Run
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.ac.leads import FEET_10_M, Lead, leads
from engine.rules.ac.system import AcSource, AcSystem, ac_of, amperes, shown
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, meets, rule
from engine.rules.bounds import judged

PRIMARY_SHARE = 1.25


@rule(
    "transformer-unfit",
    title="Isolation transformer that does not isolate or is not protected",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11, as a transformer maker and a boat's page quote it",
            "Within 10 ft of the inlet; the shore ground ends at the shield and is not tied to the boat's ground.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020 6.8",
            "The shore earth stops at the transformer's screen and is not joined aboard (partly recalled).",
            "memory",
        ),
        Basis(
            "iso13297",
            "ISO 13297 7.2.3 in an older numbering, quoted in a forum",
            "A device of its own on the primary, not above 125 % of the rated primary current.",
            "secondary",
        ),
    ),
    wordings={
        "earths-joined": Wording(
            "danger",
            "The shore earth of {part} is joined to the boat's earth: it isolates nothing.",
            "End the shore earth at the shield of {part}; earth the boat at the secondary only.",
        ),
        "primary-over": Wording(
            "requirement",
            "Through the primary of {part} {held} can flow; 125 % of its rated primary current is {limit} A.",
            "Fit a device of at most {limit} A before the primary.",
            "1.25 × {rated} A = {limit} A < {held}",
        ),
        "far-from-inlet": Wording(
            "requirement",
            "{part} is {length} m from {inlet} along the conductor; {limit} m are allowed.",
            "Move {part} closer, or fit a residual-current device at the inlet.",
            "{length} m > {limit} m",
        ),
    },
    parameters=(
        Parameter("primary_share", PRIMARY_SHARE, "×", "ISO 13297 7.2.3, older numbering, a forum", "secondary"),
        Parameter("distance", FEET_10_M, "m", "ABYC E-11, quoted second hand (10 ft)", "secondary"),
    ),
    needs="The transformer's rated current or power and ratio, the earths at both sides, the length from the inlet.",
)
def transformer_unfit(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A transformer is bought to part the boat from the dock. One forgotten earth joins them again, and the safety it
    was to replace has been left out."""
    ac = ac_of(boat)
    for part in boat.with_role("transformer"):
        yield _earths(ac, part)
        if book == "iso13297":
            yield from _primary(boat, part)
        else:
            yield from (
                _distance(ac, part, inlet, ways) for inlet in ac.of_kind("shore") if (ways := _ways(ac, inlet, part))
            )


def _earths(ac: AcSystem, part: Part) -> Outcome:
    if (part.id, "sec", "PE") in reach(ac.grounds, [(part.id, "pri", "PE")]):
        return breaks("earths-joined", f"part:{part.id}", part=ac.boat.name(part))
    return meets("earths-joined", f"part:{part.id}")


def _primary(boat: Boat, part: Part) -> Iterator[Outcome]:
    rated_a = _rated_primary(part)
    for run in boat.runs_at.get((part.id, "pri"), ()):
        lines = [pole for pole in run.poles if pole in AC_LINES]
        if lines:
            yield _over(boat, part, run, lines[0], rated_a)


def _over(boat: Boat, part: Part, run: Run, pole: str, rated_a: Quantity) -> Outcome:
    most_a = boat.held_fitted[run.id, pole].worst.current_a
    least_a = boat.held_fitted_least[run.id, pole].worst.current_a
    fields = [] if is_exact(rated_a) else [f"part:{part.id} input_a"]
    fields += [f"run:{run.id} protection"] if most_a == UNLIMITED or most_a != least_a else []
    limit = None if rated_a is None else PRIMARY_SHARE * high(rated_a)
    return judged(
        "primary-over", (f"part:{part.id}", f"run:{run.id}"), safe=most_a <= PRIMARY_SHARE * low(rated_a, 0.0),
        hopeless=least_a > PRIMARY_SHARE * high(rated_a), lacks=tuple(fields),
        values={
            "part": boat.name(part), "held": amperes(most_a), "rated": shown(rated_a),
            "limit": shown(limit),
        },
    )  # fmt: skip


def _rated_primary(part: Part) -> Quantity:
    """Its rated primary current, A: stated, or power over secondary voltage times ratio."""
    stated = quantity(part, "input_a")
    values = [quantity(part, name) for name in ("power_va", "nominal_v", "ratio")]
    if stated is not None or not all(is_exact(value) for value in values):
        return stated
    power_va, secondary_v, ratio = (low(value) for value in values)
    return power_va / (secondary_v * ratio)


def _ways(ac: AcSystem, inlet: AcSource, part: Part) -> list[Lead]:
    """The ways from the inlet to the transformer."""
    return [lead for lead in leads(ac, inlet, lambda edge: False) if lead.node[0] == part.id]


def _distance(ac: AcSystem, part: Part, inlet: AcSource, ways: list[Lead]) -> Outcome:
    lead = max(ways, key=lambda each: each.length.most)
    return judged(
        "far-from-inlet", (f"part:{part.id}", f"part:{inlet.part.id}"), safe=lead.length.most <= FEET_10_M,
        hopeless=lead.length.least > FEET_10_M, lacks=lead.length.lacks, path=lead.path,
        values={
            "part": ac.boat.name(part), "inlet": ac.boat.name(inlet.part), "length": lead.length.text,
            "limit": FEET_10_M,
        },
    )  # fmt: skip
