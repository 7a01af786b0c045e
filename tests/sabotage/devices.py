"""Faults of protection: taken out, too large, too weak, for a lower voltage, closing again by itself, too far away."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.model.network import Network, Part, Run
from engine.model.quantity import high, is_exact
from tests.sabotage.fault import Fault, changed_position, changed_run, changed_values
from tests.sabotage.sample import Sample
from tests.samples.boats import library

REMOVED = frozenset({
    "unprotected-conductor", "distant-device", "oversized-device", "oversized-holder-fuse", "oversized-panel-device",
    "circuit-without-device", "no-residual-device", "inlet-without-main", "over-makers-fuse", "oversized-generator-device",
    "single-pole-main", "thin-return",
})  # fmt: skip
ENLARGED = frozenset({
    "oversized-device", "oversized-holder-fuse", "oversized-panel-device", "device-above-its-feed", "main-over-service",
    "over-makers-fuse", "oversized-generator-device", "thin-return", "ungrounded-case", "overloaded-switch",
})  # fmt: skip


def fuses(sample: Sample) -> Iterator[Part]:
    """In-line fuses and breakers."""
    for part in sample.with_role("protection"):
        if "rating_a" in part.values:
            yield part


def taken_out(sample: Sample) -> Iterator[Fault]:
    """Every device taken out: in-line ones joined through, ways of panels bridged."""
    for part in fuses(sample):
        network = _joined_through(sample, part)
        keys = sample.runs_of(part) | _ends(sample, part)
        yield Fault(f"{part.designation} taken out", network, keys, REMOVED, sample.returns)
    for panel in sample.with_role("dc_panel", "ac_panel"):
        for way in panel.positions:
            if way.state in ("used", "prepared"):
                network = changed_position(
                    sample.network, panel, way, device="none", rating_a=None, holder_largest_a=None
                )
                keys = _way_keys(sample, panel, way.key)
                yield Fault(f"{panel.designation}.{way.key} bridged", network, keys, REMOVED, sample.returns)


def _joined_through(sample: Sample, part: Part) -> Network:
    """The boat without an in-line part, its two runs made one: as long as both, covered only if both are."""
    kind = library()[part.kind]
    first, second = (next(run for run in sample.network.runs if _end_at(run, part.id, port)) for port in kind.inline)
    far = [run.b if run.a.part == part.id else run.a for run in (first, second)]
    covered = "open" not in (first.cover, second.cover)
    joined = msgspec.structs.replace(
        first, a=far[0], b=far[1], length_m=high(first.length_m) + high(second.length_m),
        cover=first.cover if covered else "open", route=tuple(dict.fromkeys((*first.route, *second.route))),
    )  # fmt: skip
    runs = tuple(joined if run is first else run for run in sample.network.runs if run is not second)
    parts = tuple(each for each in sample.network.parts if each is not part)
    return msgspec.structs.replace(sample.network, runs=runs, parts=parts)


def _end_at(run: Run, part_id: str, port: str) -> bool:
    return (part_id, port) in ((run.a.part, run.a.port), (run.b.part, run.b.port))


def enlarged(sample: Sample) -> Iterator[Fault]:
    """Every device six and twelve times as large as it is."""
    for factor in (6, 12):
        for part in fuses(sample):
            rating = high(part.values["rating_a"]) * factor  # type: ignore[arg-type]
            values = {name: rating for name in ("rating_a", "holder_largest_a") if name in part.values}
            keys = sample.runs_of(part) | {f"part:{part.id}"} | _ends(sample, part)
            name = f"{part.designation} of {rating:g} A"
            yield Fault(name, changed_values(sample.network, part, values), keys, ENLARGED, sample.returns)
        for panel in sample.with_role("dc_panel", "ac_panel"):
            for way in panel.positions:
                if way.state == "used" and is_exact(way.rating_a):
                    rating = max(60.0, high(way.rating_a)) * factor
                    largest = rating if way.holder_largest_a is not None else None
                    network = changed_position(sample.network, panel, way, rating_a=rating, holder_largest_a=largest)
                    keys = _way_keys(sample, panel, way.key)
                    yield Fault(
                        f"{panel.designation}.{way.key} of {rating:g} A", network, keys, ENLARGED, sample.returns
                    )


def too_weak(sample: Sample) -> Iterator[Fault]:
    """Every device with an interrupting rating of 100 A."""
    rules = frozenset({"weak-interrupting-capacity"})
    for part in fuses(sample):
        network = changed_values(sample.network, part, {"interrupting_a": 100.0})
        yield Fault(f"{part.designation} too weak", network, frozenset({f"part:{part.id}"}), rules)
    for panel in sample.with_role("dc_panel", "ac_panel"):
        for way in panel.positions:
            if way.state == "used":
                network = changed_position(sample.network, panel, way, interrupting_a=100.0)
                keys = frozenset({f"position:{panel.id}/{way.key}"})
                yield Fault(f"{panel.designation}.{way.key} too weak", network, keys, rules)


def low_voltage(sample: Sample) -> Iterator[Fault]:
    """Every in-line device for six volts."""
    for part in fuses(sample):
        if "voltage_v" in part.values:
            network = changed_values(sample.network, part, {"voltage_v": 6.0})
            keys = frozenset({f"part:{part.id}"})
            yield Fault(f"{part.designation} for 6 V", network, keys, frozenset({"low-voltage-device"}))


def resetting(sample: Sample) -> Iterator[Fault]:
    """Every breaker that closes again by itself, and every one that can be held closed."""
    for part in fuses(sample):
        for field in ("manual_reset", "trip_free"):
            if field in part.values:
                network = changed_values(sample.network, part, {field: False})
                keys = frozenset({f"part:{part.id}"})
                yield Fault(f"{part.designation} not {field}", network, keys, frozenset({"self-resetting-breaker"}))


def too_far(sample: Sample) -> Iterator[Fault]:
    """Every short lead between a source and its device stretched, and laid in the open."""
    for run in _leads(sample):
        for length_m in (4.0, 9.0):
            network = changed_run(sample.network, run, length_m=length_m, cover="open")
            rules = frozenset({"distant-device", "inlet-without-main", "no-residual-device"})
            keys = frozenset({f"run:{run.id}"})
            yield Fault(f"{run.number} stretched to {length_m:g} m", network, keys, rules)


def _leads(sample: Sample) -> Iterator[Run]:
    devices = {part.id for part in fuses(sample)}
    starts = {part.id for part in sample.with_role("battery", "ac_source")} | {
        part.id for part in sample.network.parts if part.kind == "bus_positive"
    }
    for run in sample.network.runs:
        ends = {run.a.part, run.b.part}
        if ends & devices and ends & starts and high(run.length_m) <= 0.2:
            yield run


def _ends(sample: Sample, part: Part) -> frozenset[str]:
    """What the runs of a part lead to."""
    ends = {end.part for run in sample.network.runs for end in (run.a, run.b) if part.id in (run.a.part, run.b.part)}
    return frozenset(f"part:{each}" for each in ends)


def _way_keys(sample: Sample, panel: Part, key: str) -> frozenset[str]:
    runs = [run for run in sample.network.runs if _end_at(run, panel.id, f"p{key}")]
    parts = {f"part:{end.part}" for run in runs for end in (run.a, run.b) if end.part != panel.id}
    return frozenset({f"position:{panel.id}/{key}", *(f"run:{run.id}" for run in runs), *parts})
