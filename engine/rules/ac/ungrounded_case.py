"""Rule ungrounded-case."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import ConductorSize, awg, standard_sizes
from engine.graph.boat import Boat
from engine.graph.flows import UNLIMITED
from engine.graph.paths import reach
from engine.graph.poles import Edge, is_link_of
from engine.model.network import Part, Run
from engine.rules.ac.system import AcSystem, ac_of, amperes
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import allowed, judged, size_field, size_of

LARGEST_SHARE = 1.35
SMALLEST_AWG = "16"
SAME = 1 - 1e-9


@rule(
    "ungrounded-case",
    title="Metal case of a charger or inverter not grounded, or by too thin a wire",
    books=("e11",),
    basis=(
        Basis(
            "e11",
            "ABYC A-31 and A-32, as an inverter's manual quotes them",
            "The DC case ground is at most one size below the positive conductor, and then the positive's device is at most "
            "135 % of the ground's allowed current.",
            "secondary",
        ),
        Basis(
            "e11",
            "ABYC E-9.21, quoted in a forum and a panel's instructions",
            "A DC grounding conductor is at most one size smaller than the current-carrying ones, at least 16 AWG, and leads to "
            "the main negative bus or the engine's negative terminal.",
            "secondary",
        ),
    ),
    wordings={
        "no-ground": Wording(
            "danger",
            "The metal case of {part} is not joined to the main ground or DC negative.",
            "Lead a grounding conductor from the case of {part} to the main ground.",
        ),
        "thin-ground": Wording(
            "requirement",
            "{run}, the case ground of {part}, is {ground}; with a positive of {positive} it must be at least {least}.",
            "Use {least} or more for {run}.",
            "{ground} < {least}",
        ),
        "over-135": Wording(
            "requirement",
            "{run}, the case ground of {part}, is thinner than the positive, and {held} can be pushed into it: more than "
            "135 % of its {allowed} A.",
            "Use the positive's size, {positive}, for {run}.",
            "{held} > 1.35 × {allowed} A = {limit} A",
        ),
    },
    parameters=(
        Parameter("largest_share", LARGEST_SHARE, "×", "ABYC A-31, A-32, quoted by an inverter's manual", "secondary"),
        Parameter("smallest_mm2", 1.31, "mm²", "ABYC E-9.21 (16 AWG), quoted second hand", "secondary"),
    ),
    needs="Whether the case is metal, the case's grounding run, and the sizes of it and of the positive conductors.",
)
def ungrounded_case(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A positive cable that chafes through on the case of an inverter sends the battery's whole current through the case
    ground. Where that is a thin wire, it is the fuse, and it burns."""
    ac = ac_of(boat)
    for part in boat.with_role("converter"):
        if any(port.name == "case" for port in boat.ports(part)):
            yield from _answers(ac, part)


def _answers(ac: AcSystem, part: Part) -> Iterator[Outcome]:
    subject, metal = f"part:{part.id}", part.values.get("metal_case")
    runs = ac.boat.runs_at.get((part.id, "case"), [])
    if metal is False:
        yield meets("no-ground", subject)
    elif not runs or not _reaches_ground(ac, part):
        untold = metal is None
        yield (
            cannot_tell("no-ground", subject, lacks=(f"{subject} metal_case",))
            if untold
            else breaks("no-ground", subject, part=ac.boat.name(part))
        )
    else:
        yield meets("no-ground", subject)
        yield from _sizes(ac.boat, part, runs)


def _reaches_ground(ac: AcSystem, part: Part) -> bool:
    """Whether the case reaches a DC negative by its own conductor, not through its AC earth."""

    def inside(edge: Edge) -> bool:
        return is_link_of(edge, part) or edge.pole == "PE"

    return any(node[2] == "-" for node in reach(ac.grounds, [(part.id, "case", "BOND")], inside))


def _sizes(boat: Boat, part: Part, runs: list[Run]) -> Iterator[Outcome]:
    positives = [
        run for port in boat.ports(part) for run in boat.runs_at.get((part.id, port.name), ()) if "+" in run.poles
    ]
    for run in runs:
        if positives:
            yield _size(boat, part, run, positives)


def _size(boat: Boat, part: Part, run: Run, positives: list[Run]) -> Outcome:
    key = f"run:{run.id}"
    known = [(size_of(each, "+"), each) for each in positives]
    ground = size_of(run, "BOND")
    lacks = [size_field(each, "+") for size, each in known if size is None]
    lacks += [] if ground else [size_field(run, "BOND")]
    if lacks or ground is None:
        return cannot_tell("thin-ground", key, lacks=tuple(lacks), ground=ground.name if ground else "?", least="?")
    positive, fed = max(((size, each) for size, each in known if size), key=lambda pair: pair[0].area_mm2)
    least = _one_below(positive)
    if ground.area_mm2 < least.area_mm2 * SAME:
        return breaks(
            "thin-ground", key, f"part:{part.id}", run=boat.name_run(run), part=boat.name(part), ground=ground.name,
            positive=positive.name, least=least.name,
        )  # fmt: skip
    if ground.area_mm2 >= positive.area_mm2 * SAME:
        return meets("thin-ground", key)
    return _share(boat, part, run, fed, positive)


def _share(boat: Boat, part: Part, run: Run, fed: Run, positive: ConductorSize) -> Outcome:
    """One size below the positive: only with a device that the ground conductor can outlast."""
    may, held = allowed(boat, run, "BOND", "e11"), boat.held_fitted[fed.id, "+"].worst.current_a
    least = boat.held_fitted_least[fed.id, "+"].worst.current_a
    lacks = (*may.lacks, *((f"run:{fed.id} protection",) if held == UNLIMITED or held != least else ()))
    return judged(
        "over-135", (f"run:{run.id}", f"part:{part.id}"), safe=held <= LARGEST_SHARE * may.least_a,
        hopeless=least > LARGEST_SHARE * may.most_a, lacks=lacks, sources=may.sources,
        values={
            "run": boat.name_run(run), "part": boat.name(part), "positive": positive.name,
            "held": amperes(held), "allowed": may.most_a,
            "limit": LARGEST_SHARE * may.most_a,
        },
    )  # fmt: skip


def _one_below(positive: ConductorSize) -> ConductorSize:
    """One size smaller of the same system, never below 16 AWG."""
    below = [size for size in standard_sizes(positive.system) if size.area_mm2 < positive.area_mm2 * SAME]
    smallest = awg(SMALLEST_AWG)
    return max(below[-1], smallest) if below else smallest
