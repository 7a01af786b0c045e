"""Fields blanked: what a check needs and no longer knows. The answer must be a question for that very field."""

from __future__ import annotations

from collections.abc import Iterator

from engine.model.network import Run
from tests.sabotage.fault import Fault, changed_position, changed_run, changed_values
from tests.sabotage.sample import Sample

ANY = frozenset[str]()
"""Whatever rule asks for it."""


def of_runs(sample: Sample) -> Iterator[Fault]:
    """Size, colour, tinning, stranding and basis of length of every run; length and insulation where they decide."""
    feeding = list(sample.weighty_branches())
    for run in sample.network.runs:
        blanks: dict[str, object] = {"size": "", "colours": (), "tinned": None, "stranded": None}
        if {"+", "L"} & set(run.poles) and run in feeding:
            blanks |= {"length_m": None}
        for field, nothing in blanks.items():
            yield _run(sample, run, field, nothing)
        network = changed_run(sample.network, run, length_basis=None)
        keys = frozenset({f"run:{run.id}"})
        yield Fault(f"{run.number}: length_basis blanked", network, keys, frozenset({"length-without-basis"}))


def _run(sample: Sample, run: Run, field: str, nothing: object) -> Fault:
    network = changed_run(sample.network, run, **{field: nothing})
    return Fault(f"{run.number}: {field} blanked", network, frozenset({f"run:{run.id}"}), ANY, field=field)


def of_parts(sample: Sample) -> Iterator[Fault]:
    """Ratings of every device, currents of every load."""
    for part in sample.with_role("protection"):
        for field in (
            "rating_a",
            "interrupting_a",
            "voltage_v",
            "holder_largest_a",
            "trip_free",
            "manual_reset",
            "residual_ma",
        ):
            if field in part.values:
                yield Fault(
                    f"{part.designation}: {field} blanked", changed_values(sample.network, part, {field: None}),
                    frozenset({f"part:{part.id}"}), ANY, field=field,
                )  # fmt: skip
    for part in sample.with_role("load_dc"):
        network = changed_values(sample.network, part, {"running_a": None, "power_w": None})
        keys = frozenset({f"part:{part.id}"})
        yield Fault(f"{part.designation}: running_a blanked", network, keys, ANY, field="running_a")


def of_ways(sample: Sample) -> Iterator[Fault]:
    """Rating, largest fuse and interrupting rating of every used way."""
    for panel in sample.with_role("dc_panel", "ac_panel"):
        for way in panel.positions:
            fields = ["rating_a", "interrupting_a"] + (["holder_largest_a"] if way.device == "fuse" else [])
            for field in fields if way.state == "used" else ():
                network = changed_position(sample.network, panel, way, **{field: None})
                keys = frozenset({f"position:{panel.id}/{way.key}"})
                yield Fault(f"{panel.designation}.{way.key}: {field} blanked", network, keys, ANY, field=field)
