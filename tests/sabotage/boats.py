"""Faults of the boat as a whole: names, labels, banks joined, studs overfilled, pumps switched, AC uncovered, bonds, loads."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from engine.model.network import End, Evidence, Part
from engine.model.quantity import as_quantity, high, is_exact
from tests.sabotage.fault import Fault, changed_position, changed_run, changed_values, jumper, with_more, with_part
from tests.sabotage.sample import LOADS, Sample

HEAVY = frozenset({
    "undersized-conductor", "device-below-load", "excessive-voltage-drop", "overloaded-bus", "overloaded-switch", "thin-return",
})  # fmt: skip


def misnamed(sample: Sample) -> Iterator[Fault]:
    """Every part with the designation of another, and with none."""
    parts = sample.network.parts
    for part, other in zip(parts, (*parts[1:], parts[0]), strict=True):
        for designation in (other.designation, ""):
            network = with_part(sample.network, msgspec.structs.replace(part, designation=designation))
            keys = frozenset({f"part:{part.id}", f"part:{other.id}"})
            yield Fault(f"{part.designation} called “{designation}”", network, keys, frozenset({"shared-designation"}))


def unlabelled(sample: Sample) -> Iterator[Fault]:
    """Every used way of a panel without its name."""
    for panel in sample.with_role("dc_panel", "ac_panel"):
        for way in panel.positions:
            if way.state == "used":
                network = changed_position(sample.network, panel, way, label="")
                keys = frozenset({f"position:{panel.id}/{way.key}"})
                yield Fault(f"{panel.designation}.{way.key} unnamed", network, keys, frozenset({"unlabelled-circuit"}))


def strange(sample: Sample) -> Iterator[Fault]:
    """Every part of a kind that no library knows."""
    for part in sample.network.parts:
        network = with_part(sample.network, msgspec.structs.replace(part, kind="no_such_kind"))
        yield Fault(f"{part.designation} of no known kind", network, sample.everything, frozenset({"strange-kind"}))


def wrong_voltage(sample: Sample) -> Iterator[Fault]:
    """Every load for another voltage."""
    for part in sample.with_role(*LOADS, "starter"):
        if is_exact(as_quantity(part.values.get("nominal_v"))):
            volts = high(as_quantity(part.values["nominal_v"])) * 2.5
            network = changed_values(sample.network, part, {"nominal_v": volts})
            keys = frozenset({f"part:{part.id}"})
            yield Fault(f"{part.designation} for {volts:g} V", network, keys, frozenset({"mixed-voltages"}))


def heavier(sample: Sample) -> Iterator[Fault]:
    """Every load with thirty times its current, and at least sixty amperes."""
    for part in sample.with_role("load_dc", "load_ac"):
        if "running_a" in part.values:
            amps = max(60.0, high(as_quantity(part.values["running_a"]), 1.0) * 30)
            network = changed_values(sample.network, part, {"running_a": amps})
            keys = frozenset({f"part:{part.id}"}) | sample.runs_of(part)
            yield Fault(f"{part.designation} drawing {amps:g} A", network, keys, HEAVY, sample.everything)


def contradicted(sample: Sample) -> Iterator[Fault]:
    """A nameplate that says another rating than the drawing."""
    for part in sample.network.parts:
        for field in ("rating_a", "running_a", "capacity_ah"):
            if is_exact(as_quantity(part.values.get(field))):
                said = high(as_quantity(part.values[field])) * 1.5
                plate = Evidence(kind="nameplate", value=said, by="R. Thorne", date=sample.network.particulars.date)
                network = with_part(sample.network, msgspec.structs.replace(part, evidence={field: (plate,)}))
                keys = frozenset({f"part:{part.id}"})
                rules = frozenset({"contradicting-statements"})
                yield Fault(f"{part.designation}: another {field} on its plate", network, keys, rules)


def joined_banks(sample: Sample) -> Iterator[Fault]:
    """A cable between any two points of the two batteries' unswitched wiring."""
    first, second = (_always_fed(sample, part) for part in (*sample.with_role("battery"), None)[:2])
    if not second:
        return
    like = next(run for run in sample.network.runs if run.poles == ("+",))
    for a in first:
        for b in second[::4]:
            network, _ = jumper(sample.network, a, b, ("+",), like)
            rules = frozenset({"joined-banks"})
            yield Fault(f"{_end(sample, a)} joined to {_end(sample, b)}", network, sample.everything, rules)


def _always_fed(sample: Sample, battery: Part | None) -> list[End]:
    """Ports at the battery's own potential with every switch off, on either side of its devices."""
    if battery is None:
        return []
    wires = sample.boat.switched({})
    seen, queue = {(battery.id, "pos", "+")}, [(battery.id, "pos", "+")]
    while queue:
        for _, other in wires.edges(queue.pop()):
            if other not in seen and other[2] == "+":
                seen.add(other)
                queue.append(other)
    ports = {(part.id, port.name) for part in sample.network.parts for port in sample.boat.ports(part)}
    return [End(part=part, port=port) for part, port, _ in sorted(seen) if (part, port) in ports]


def overfilled(sample: Sample) -> Iterator[Fault]:
    """Every stud with five cables where it had one."""
    for run in sample.network.runs:
        for end in (run.a, run.b):
            part = sample.boat.parts[end.part]
            if sample.boat.role(part) in ("bus", "battery"):
                twins = [msgspec.structs.replace(run, id=f"w{9000 + n}", number=f"{9000 + n}") for n in range(5)]
                network = with_more(sample.network, *twins)
                rules = frozenset({"crowded-stud"})
                yield Fault(f"five more like {run.number} on {_end(sample, end)}", network, sample.everything, rules)


def switched_pumps(sample: Sample) -> Iterator[Fault]:
    """Everything that must stay live hung behind the battery switch."""
    behind = next(end for end in _behind_switch(sample))
    for part in sample.network.parts:
        if part.values.get("around_the_clock") is True:
            feed = next(run for run in sample.network.runs if part.id in (run.a.part, run.b.part) and "+" in run.poles)
            near = {"b" if feed.a.part == part.id else "a": behind}
            network = changed_run(sample.network, feed, **near)
            keys = frozenset({f"part:{part.id}"})
            yield Fault(f"{part.designation} behind the switch", network, keys, frozenset({"switched-bilge-pump"}))


def _behind_switch(sample: Sample) -> Iterator[End]:
    for run in sample.network.runs:
        for end, far in ((run.a, run.b), (run.b, run.a)):
            kind = sample.boat.parts[end.part].kind
            if (kind, end.port) in (("battery_switch", "out"), ("battery_selector", "common")) and not run.cranking:
                yield far


def uncovered(sample: Sample) -> Iterator[Fault]:
    """Every cover of the AC side off: guards, partitions, boxes that open by hand."""
    rules = frozenset({"exposed-ac-parts", "ac-beside-dc"})
    holding = {part.enclosure for part in sample.network.parts if sample.boat.role(part) == "ac_panel"}
    for box in sample.network.enclosures:
        changes: list[dict[str, object]] = [
            {"opens": "hand", "ac_guard": "none"},
            {"opens": "hand", "ac_guard": "hand"},
        ]
        if box.id in holding:
            changes += [{"ac_guard": "none", "partition": False}]
        for change in changes:
            boxes = tuple(
                msgspec.structs.replace(each, **change) if each is box else each for each in sample.network.enclosures
            )
            network = msgspec.structs.replace(sample.network, enclosures=boxes)
            yield Fault(f"{box.name} {change}", network, sample.everything, rules)
    for part in sample.with_role("ac_panel"):
        for field in ("guard_needs_tool",):
            network = changed_values(sample.network, part, {field: False})
            yield Fault(f"{part.designation} without {field}", network, sample.everything, rules)


def bonded(sample: Sample) -> Iterator[Fault]:
    """A neutral joined to the boat's earth at every place where there is a neutral."""
    earths = [part for part in sample.network.parts if part.kind == "main_ground_point"]
    for run in sample.network.runs:
        if "N" in run.poles and earths:
            for end in (run.a, run.b):
                network, _ = jumper(sample.network, end, End(part=earths[0].id, port="earth"), ("N",), run)
                rules = frozenset({"neutral-earthed-aboard", "neutral-not-earthed-once", "joined-ac-dc"})
                yield Fault(f"neutral of {_end(sample, end)} earthed", network, sample.everything, rules)


def unearthed_services(sample: Sample) -> Iterator[Fault]:
    """The AC side without what protects it: no residual element, a coarse one, a slow one, no polarity indicator."""
    for part in sample.network.parts:
        changes: dict[str, object] = {"residual_ma": 300.0, "trip_ms": 2000.0} if part.kind == "rcbo" else {}
        changes |= {"polarity_indicator": False} if "polarity_indicator" in part.values else {}
        changes |= (
            {"residual_ma": 30.0} if part.kind == "ac_outlet_residual" and part.values.get("where") == "galley" else {}
        )
        changes |= {"fail_safe": False, "rating_a": 5.0} if part.kind == "galvanic_isolator" else {}
        rules = frozenset(
            {"no-residual-device", "outlet-without-residual", "galvanic-isolator-unfit", "polarity-not-shown"}
        )
        for field, value in changes.items():
            if field != "polarity_indicator":
                network = changed_values(sample.network, part, {field: value})
                yield Fault(f"{part.designation}: {field} {value}", network, sample.everything, rules)


def _end(sample: Sample, end: End) -> str:
    return f"{sample.boat.parts[end.part].designation}.{end.port}"


def sparking(sample: Sample) -> Iterator[Fault]:
    """Everything in a petrol space that is ignition-protected, no longer so."""
    spaces = {space.id for space in sample.network.compartments if space.petrol_vapour}
    for part in sample.network.parts:
        if part.compartment in spaces and part.values.get("ignition_protected") is True:
            network = changed_values(sample.network, part, {"ignition_protected": False})
            keys = frozenset({f"part:{part.id}"})
            yield Fault(f"{part.designation} may spark", network, keys, frozenset({"unprotected-ignition-source"}))
