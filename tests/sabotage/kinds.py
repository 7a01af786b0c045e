"""Every kind of fault, by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from tests.sabotage import blanks, boats, devices, positions, wires
from tests.sabotage.fault import Fault
from tests.sabotage.sample import Sample

KINDS: Mapping[str, Callable[[Sample], Iterator[Fault]]] = {
    "device taken out": devices.taken_out,
    "device enlarged": devices.enlarged,
    "device too weak": devices.too_weak,
    "device for a lower voltage": devices.low_voltage,
    "breaker that resets": devices.resetting,
    "device too far": devices.too_far,
    "conductor thinned": wires.thinned,
    "conductor too long": wires.too_long,
    "conductor untinned": wires.bare,
    "conductor solid": wires.solid,
    "core in a wrong colour": wires.miscoloured,
    "wire misnumbered": wires.misnumbered,
    "load cut off": wires.cut,
    "earth broken": wires.earth_cut,
    "pole of the other system": wires.strange_pole,
    "length contradicted": wires.contradicted,
    "part misnamed": boats.misnamed,
    "circuit unlabelled": boats.unlabelled,
    "kind unknown": boats.strange,
    "load for another voltage": boats.wrong_voltage,
    "load too heavy": boats.heavier,
    "spark in petrol vapour": boats.sparking,
    "nameplate contradicted": boats.contradicted,
    "banks joined": boats.joined_banks,
    "alternator behind the switch": positions.switched_alternators,
    "banks that meet in use": positions.banks_meeting,
    "stud overfilled": boats.overfilled,
    "pump behind the switch": boats.switched_pumps,
    "AC uncovered": boats.uncovered,
    "neutral earthed": boats.bonded,
    "AC protection spoiled": boats.unearthed_services,
    "field of a run blanked": blanks.of_runs,
    "field of a part blanked": blanks.of_parts,
    "field of a way blanked": blanks.of_ways,
}

HARMLESS: Mapping[tuple[str, str], str] = {
    ("quill_34", "A2.1: holder_largest_a blanked"): "the 30 A breaker ahead protects the wire whatever fuse is fitted",
    ("quill_26_launch", "F2 taken out"): "the 100 A fuse ahead protects the cable and the panel's bus of 100 A",
    ("quill_26_launch", "5 stretched to 4 m"): "the 100 A fuse ahead protects the cable as well",
    ("quill_26_launch", "5 stretched to 9 m"): "the 100 A fuse ahead protects the cable as well",
    (
        "quill_26_launch",
        "F2: holder_largest_a blanked",
    ): "the 100 A fuse ahead protects the cable whatever fuse is fitted",
}
"""What was done and harms nothing, with the reason; everything else must be caught."""
