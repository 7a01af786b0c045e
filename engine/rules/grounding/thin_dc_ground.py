"""Rule thin-dc-ground."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sizes import ConductorSize, awg, standard_sizes
from engine.graph.boat import Boat
from engine.graph.paths import reach
from engine.graph.poles import Edge, is_link_of
from engine.model.network import Part, Run
from engine.rules.ac.system import ac_of
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import size_field, size_of

SMALLEST = awg("16")
SAME = 1 - 1e-9


@rule(
    "thin-dc-ground",
    title="DC grounding conductor too thin, or leading nowhere",
    books=("e11",),
    basis=(
        Basis(
            "e11",
            "ABYC E-9.21, quoted in a forum and a panel's instructions",
            "A DC grounding conductor is at most one size smaller than the current-carrying ones of its device, at least 16 AWG, "
            "and leads to the main negative bus or the engine's negative terminal.",
            "secondary",
        ),
    ),
    wordings={
        "thin": Wording(
            "requirement",
            "{run}, the case ground of {part}, is {size}; with a positive of {positive} it must be at least {least}.",
            "Use {least} or more for {run}.",
            "{size} < {least}",
        ),
        "leads-nowhere": Wording(
            "requirement",
            "{run}, the case ground of {part}, does not reach DC negative.",
            "Lead {run} to the main negative bus or the engine's negative terminal.",
        ),
    },
    parameters=(
        Parameter("smallest_mm2", SMALLEST.area_mm2, "mm²", "ABYC E-9.21 (16 AWG), quoted second hand", "secondary"),
    ),
    needs="The sizes of case grounds and of the positive conductors of DC devices. Chargers and inverters: see ungrounded-case.",
)
def thin_dc_ground(boat: Boat, book: Book) -> Iterator[Outcome]:
    """When the positive chafes through on a metal case, the case ground carries the fault until the fuse opens. Thinner than
    that, it is the fuse itself."""
    for part in boat.with_role("load_dc"):
        for run in boat.runs_at.get((part.id, "case"), ()):
            if "BOND" in run.poles:
                yield _way(boat, part, run)
                yield from _size(boat, part, run)


def _way(boat: Boat, part: Part, run: Run) -> Outcome:
    key = f"run:{run.id}"

    def inside(edge: Edge) -> bool:
        return is_link_of(edge, part)

    if any(node[2] == "-" for node in reach(ac_of(boat).grounds, [(part.id, "case", "BOND")], inside)):
        return meets("leads-nowhere", key)
    return breaks("leads-nowhere", key, f"part:{part.id}", run=boat.name_run(run), part=boat.name(part))


def _size(boat: Boat, part: Part, run: Run) -> Iterator[Outcome]:
    key, ground = f"run:{run.id}", size_of(run, "BOND")
    positives = [
        each for port in boat.ports(part) for each in boat.runs_at.get((part.id, port.name), ()) if "+" in each.poles
    ]
    sizes = [size for each in positives if (size := size_of(each, "+")) is not None]
    lacks = [size_field(each, "+") for each in positives if size_of(each, "+") is None]
    lacks += [] if ground else [size_field(run, "BOND")]
    if lacks or ground is None:
        yield cannot_tell("thin", key, lacks=tuple(lacks), size=ground.name if ground else "?", least="?")
    elif sizes:
        positive = max(sizes, key=lambda size: size.area_mm2)
        least = one_below(positive)
        thin = ground.area_mm2 < least.area_mm2 * SAME
        told = {"run": boat.name_run(run), "part": boat.name(part), "size": ground.name, "positive": positive.name,
                "least": least.name}  # fmt: skip
        yield breaks("thin", key, f"part:{part.id}", **told) if thin else meets("thin", key)


def one_below(positive: ConductorSize) -> ConductorSize:
    """One size smaller of the same system, never below 16 AWG."""
    below = [size for size in standard_sizes(positive.system) if size.area_mm2 < positive.area_mm2 * SAME]
    return max(below[-1], SMALLEST, key=lambda size: size.area_mm2) if below else SMALLEST
