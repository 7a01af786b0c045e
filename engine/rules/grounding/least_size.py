"""One core against a smallest size: shared by the rules on bonding and lightning conductors. Knows no rulebook."""

from __future__ import annotations

from engine.electrics.sizes import ConductorSize
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Outcome
from engine.rules.bounds import judged, size_field, size_of

SAME = 1 - 1e-9
"""8 AWG is not smaller than 8 AWG."""


def ends_on(boat: Boat, run: Run, kinds: frozenset[str]) -> bool:
    """Whether an end of the run lands on a part of one of the kinds."""
    return any(boat.parts[end.part].kind in kinds for end in (run.a, run.b) if end.part in boat.parts)


def judge_size(boat: Boat, run: Run, pole: str, least: ConductorSize) -> Outcome:
    """Meets when the core has at least the area; code "thin"."""
    size = size_of(run, pole)
    return judged(
        "thin", (f"run:{run.id}",), safe=size is not None and size.area_mm2 >= least.area_mm2 * SAME,
        hopeless=size is not None, lacks=(size_field(run, pole),),
        values={"run": boat.name_run(run), "size": size.name if size else "?", "least": least.name},
    )  # fmt: skip
