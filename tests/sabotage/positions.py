"""Faults that show only in some position of the switches: alternators behind a switch, banks that meet when two are on."""

from __future__ import annotations

from collections.abc import Iterator

from engine.model.network import End, Run
from tests.sabotage.fault import Fault, changed_run, jumper
from tests.sabotage.sample import Sample

SWITCHES = frozenset({"battery_switch", "battery_selector"})


def switched_alternators(sample: Sample) -> Iterator[Fault]:
    """Every alternator's lead moved to what stands behind each battery switch."""
    for part in sample.network.parts:
        if part.kind == "alternator":
            lead = next(run for run in sample.network.runs if End(part=part.id, port="bplus") in (run.a, run.b))
            near = "a" if lead.b.part == part.id else "b"
            for end in _behind(sample):
                network = changed_run(sample.network, lead, **{near: end})
                rules = frozenset({"alternator-behind-switch"})
                yield Fault(f"{part.designation} led to {end.part}.{end.port}", network, sample.everything, rules)


def banks_meeting(sample: Sample) -> Iterator[Fault]:
    """A cable between what stands behind the switches of two banks, each way round."""
    if len(sample.with_role("battery")) < 2:
        return
    like: Run = next(run for run in sample.network.runs if run.poles == ("+",))
    ends = list(_behind(sample))
    for first in ends:
        for second in ends:
            if first != second:
                network, _ = jumper(sample.network, first, second, ("+",), like)
                name = f"{first.part}.{first.port} joined to {second.part}.{second.port}"
                yield Fault(name, network, sample.everything, frozenset({"banks-meet-in-use"}))


def _behind(sample: Sample) -> Iterator[End]:
    """The far ends of the cables that leave battery switches."""
    for run in sample.network.runs:
        for end, far in ((run.a, run.b), (run.b, run.a)):
            part = sample.boat.parts[end.part]
            if part.kind in SWITCHES and end.port in ("out", "common"):
                yield far
