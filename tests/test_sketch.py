"""The sketch notation: what a line means, and that a boat written and read again is the same boat."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import Phase, given, settings

from engine import sketch
from engine.library.device import load_library
from engine.model.defaults import default_values
from engine.model.document import Document
from engine.model.invariants import problems
from engine.model.network import End, Network, Part, Position, Run
from engine.sketch import read_sketch, write_sketch
from tests.files.boats import LIBRARY, networks

BOAT = """
    boat "Cruiser" rules=us,iso fuel=diesel engine=inboard units=metric
    revision A date=2026-05-01 by="R. Thorne" text="First issue"
    space engine "Engine space" kind=engine petrol_vapour=no ambient_c=50 outline_m=0,0;3,0;3,2.5
    space saloon "Saloon"
    box panel "Hinged panel" opens=hand ac_guard=tool partition=yes @saloon
    option heater "Heater"
    option stove "Stove" needs=heater
    G1 battery "House" capacity_ah=100 chemistry="lithium iron" @engine in=panel   # as delivered
      size_group=31 post_guards=yes note="two lugs on a post"
    F1 fuse_bolt 100/150 A
    F2 fuse_bolt 150..175 A holder_largest_a=?
    Q1 selector
    A1 dc_panel "DC panel" bus_a=100 opt=heater
      1 breaker 10 A "Cabin lights"
      2 fuse 5/20 A "Stereo" may-stay-on
      3 breaker 15 A 2P 30 mA "Outlets" interrupting_a=3000
      4 fuse ?/20 A spare
      5 blank
    E1 lamp running_a=?
    W1: G1.pos - F1.a + 2/0 AWG RD 7 in sheath 105 C tinned via=engine bundled=2
    W2: A1.1 - E1.supply +- 14 AWG RD,YE 6 ft 7 in round-trip
    W3: F1.b - Q1.b1 6mm² 1.2..1.5m bare solid cranking "Start cable"
    ~: Q1.common - A1.feed + basis=? cover=conduit opt=stove
    condition anchor "At anchor" Q1=1 E1=0.5
    evidence G1.capacity_ah measured 92 by="R. Thorne" date=2026-05-01
    evidence G1.capacity_ah nameplate 100
    evidence W1:length_m label 2..2.5 note="by tape"
    evidence A1.1.rating_a traced 10
"""


@pytest.fixture
def network() -> Network:
    return read_sketch(BOAT, LIBRARY).network


def part(network: Network, designation: str) -> Part:
    return next(part for part in network.parts if part.designation == designation)


def run(line: str) -> Run:
    text = f"G1 battery\nF1 fuse_bolt\nE1 lamp\nspace engine kind=engine\n{line}"
    return read_sketch(text, LIBRARY).network.runs[0]


def test_ids_follow_the_order(network: Network) -> None:
    assert [part.id for part in network.parts] == ["p1", "p2", "p3", "p4", "p5", "p6"]
    assert [run.id for run in network.runs] == ["w1", "w2", "w3", "w4"]
    assert [space.id for space in network.compartments] == ["engine", "saloon"]


def test_a_sketch_is_a_sound_document() -> None:
    document = read_sketch(BOAT, LIBRARY)
    assert problems(document) == ()
    assert document.next_id > 6


def test_the_particulars(network: Network) -> None:
    boat = network.particulars
    assert (boat.name, boat.rulebooks, boat.fuel, boat.engine, boat.units) == (
        "Cruiser",
        ("us", "iso"),
        "diesel",
        "inboard",
        "metric",
    )
    assert boat.revisions[0].by == "R. Thorne"


def test_a_part_has_the_defaults_it_does_not_say(network: Network) -> None:
    assert part(network, "G1").values == {
        "nominal_v": 12,
        "chemistry": "lithium iron",
        "capacity_ah": 100,
        "size_group": "31",
        "post_guards": True,
    }
    assert part(network, "G1").note == "two lugs on a post"
    assert (part(network, "G1").compartment, part(network, "G1").enclosure) == ("engine", "panel")


def test_a_question_mark_overrides_a_default(network: Network) -> None:
    assert default_values(LIBRARY["fuse_bolt"]) == {"holder_largest_a": 300}
    assert part(network, "F2").values == {"rating_a": (150, 175), "holder_largest_a": None}
    assert part(network, "F1").values == {"rating_a": 100, "holder_largest_a": 150}


def test_the_ways_of_a_panel(network: Network) -> None:
    assert part(network, "A1").positions == (
        Position(key="1", rating_a=10, label="Cabin lights"),
        Position(key="2", device="fuse", rating_a=5, holder_largest_a=20, label="Stereo", may_stay_on=True),
        Position(key="3", rating_a=15, poles=2, residual_ma=30, label="Outlets", interrupting_a=3000),
        Position(key="4", device="fuse", holder_largest_a=20, state="spare"),
        Position(key="5", device="none", state="blank"),
    )


def test_a_run_says_what_the_cable_is(network: Network) -> None:
    assert network.runs[0] == Run(
        id="w1",
        a=End(part="p1", port="pos"),
        b=End(part="p2", port="a"),
        poles=("+",),
        number="W1",
        colours=("RD",),
        size="2/0 AWG",
        insulation_c=105,
        tinned=True,
        cover="sheath",
        length_m=0.1778,
        route=("engine",),
        bundled=2,
        evidence=network.runs[0].evidence,
    )
    assert network.runs[0].evidence["length_m"][0].value == (2, 2.5)


def test_conditions_hold_switches_and_duties_by_id(network: Network) -> None:
    assert network.conditions[0].switches == {"p4": "1"}
    assert network.conditions[0].duty == {"p6": 0.5}


def test_two_statements_about_one_field_are_both_kept(network: Network) -> None:
    said = part(network, "G1").evidence["capacity_ah"]
    assert [(one.kind, one.value) for one in said] == [("measured", 92), ("nameplate", 100)]
    assert "1.rating_a" in part(network, "A1").evidence


@pytest.mark.parametrize(
    ("written", "metres"),
    [
        ("7 in", 0.1778),
        ("6 ft", 1.8288),
        ("6ft 7in", 2.0066),
        ("150 mm", 0.15),
        ("25 cm", 0.25),
        ("2..3 ft", (0.6096, 0.9144)),
    ],
)
def test_lengths_in_every_unit(written: str, metres: object) -> None:
    """The inch is 25.4 mm and the foot 304.8 mm exactly (international yard, 1959)."""
    assert run(f"W1: G1.pos - F1.a + {written}").length_m == metres


@pytest.mark.parametrize(
    ("written", "field", "value"),
    [
        ("2/0AWG", "size", "2/0 AWG"),
        ("6 mm²", "size", "6 mm2"),
        ("? AWG", "size", ""),
        ('size="about ten"', "size", "about ten"),
        ("pe=4mm2", "pe_size", "4 mm2"),
        ("round-trip", "length_basis", "round-trip"),
        ("basis=?", "length_basis", None),
        ("solid", "stranded", False),
        ("bare", "tinned", False),
        ("GNYE", "colours", ("GNYE",)),
        ("?", "colours", ("",)),
        ("60..75 C", "insulation_c", (60, 75)),
    ],
)
def test_words_of_a_run(written: str, field: str, value: object) -> None:
    assert getattr(run(f"W1: G1.pos - F1.a + {written}"), field) == value


def test_poles_not_said_are_those_both_ports_carry() -> None:
    assert run("W1: G1.pos - E1.supply").poles == ("+",)
    assert run("W1: G1.pos - E1.supply 2 m").poles == ("+",)
    assert run("W1: G1.pos - E1.supply L1L2,N,PE").poles == ("L1", "L2", "N", "PE")


def test_designations_may_be_missing_or_carried_twice() -> None:
    text = "~1 lamp\nF3 fuse_bolt\nF3~2 fuse_bolt\n~: F3.b - F3~2.a\n~: F3~2.b - ~1.supply\n"
    document = read_sketch(text, LIBRARY)
    assert [part.designation for part in document.network.parts] == ["", "F3", "F3"]
    assert document.network.runs[1].a == End(part="p3", port="b")
    assert write_sketch(document, LIBRARY).endswith(
        "~1 lamp\nF3 fuse_bolt\nF3~2 fuse_bolt\n\n~1: F3.b - F3~2.a +\n~2: F3~2.b - ~1.supply +\n"
    )


def test_reading_what_was_written_gives_the_same_boat() -> None:
    document = read_sketch(BOAT, LIBRARY)
    written = write_sketch(document, LIBRARY)
    assert read_sketch(written, LIBRARY) == document
    assert write_sketch(read_sketch(written, LIBRARY), LIBRARY) == written


@settings(max_examples=60, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate])
@given(networks())
def test_any_boat_comes_back(network: Network) -> None:
    document = Document(network=network)
    assert read_sketch(write_sketch(document, LIBRARY), LIBRARY).network == network


def test_ids_of_a_drawn_boat_are_numbered_anew() -> None:
    drawn = Network(
        parts=(Part(id="p31", kind="battery", designation="G1"), Part(id="p12", kind="lamp", designation="E1")),
        runs=(Run(id="w40", a=End(part="p31", port="pos"), b=End(part="p12", port="supply"), poles=("+",)),),
    )
    again = read_sketch(write_sketch(Document(network=drawn), LIBRARY), LIBRARY).network
    assert again.runs[0].a.part == again.parts[0].id == "p1"


def test_every_kind_of_the_library_is_written_and_read() -> None:
    library = load_library()
    parts = tuple(
        Part(id=f"p{at}", kind=kind.id, designation=f"X{at}", values=dict(default_values(kind)))
        for at, kind in enumerate(library.values(), start=1)
    )
    document = Document(network=Network(parts=parts))
    assert read_sketch(write_sketch(document, library), library).network == document.network


def test_the_boat_of_the_docstring_reads() -> None:
    """The grammar is printed for people; what it shows must be true of the shipped library too."""
    assert sketch.__doc__ is not None
    lines = [line for line in sketch.__doc__.splitlines() if line.startswith("    ")]
    named = ["option second_battery", "option stove", "option shore", "space saloon"]
    named += ["M1 battery", "E1 lamp", "X1 inlet", "A2 ac_panel", "Q1 selector"]
    text = "\n".join([line[4:] for line in lines] + named)
    text = text.replace("Q1=on", "Q1=both").replace(" cca_a=800", "")
    network = read_sketch(text, LIBRARY).network
    assert len(network.runs) == 4
    assert msgspec.structs.asdict(network.particulars)["name"] == "Cruiser"
