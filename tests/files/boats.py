"""Boats for the tests of files and sketches: a small device library of their own, one full boat, and random ones."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from hypothesis import strategies as st

from engine.library.device import DeviceKind, read_device
from engine.library.expand import ports_of
from engine.model.document import Document
from engine.model.network import (
    POLES,
    Compartment,
    Condition,
    Enclosure,
    End,
    Evidence,
    EvidenceKind,
    Network,
    Option,
    Part,
    Particulars,
    Position,
    Revision,
    Run,
    SpaceKind,
)
from engine.model.sheets import Note, Place, Route, Sheet

_HEAD = 'title = "T"\ngroup = "G"\nletter = "X"\nsymbol = "box"\n'
_FILES = {
    "battery": """role = "battery"
port = [{name = "pos", poles = ["+"]}, {name = "neg", poles = ["-"]}]
value = [
  {name = "nominal_v", title = "V", default = 12}, {name = "capacity_ah", title = "Ah"},
  {name = "chemistry", title = "C", type = "choice", choices = ["flooded", "AGM", "lithium iron"], default = "AGM"},
  {name = "size_group", title = "S", type = "text"}, {name = "post_guards", title = "P", type = "flag"},
]""",
    "fuse_bolt": """role = "protection"
port = [{name = "a", poles = ["+"]}, {name = "b", poles = ["+"]}]
value = [{name = "rating_a", title = "A"}, {name = "holder_largest_a", title = "L", default = 300}]""",
    "bus": """role = "bus"
port = [{name = "s{n}", poles = ["+"], count = "studs"}]
value = [
  {name = "studs", title = "Studs", default = 4}, {name = "cover", title = "C", type = "flag", default = false},
]""",
    "selector": """role = "switch"
states = ["off", "1", "2", "both"]
port = [{name = "b1", poles = ["+"]}, {name = "b2", poles = ["+"]}, {name = "common", poles = ["+"]}]""",
    "dc_panel": """role = "dc_panel"
port = [{name = "feed", poles = ["+", "-"]}]
value = [{name = "bus_a", title = "A"}]""",
    "ac_panel": """role = "ac_panel"
port = [{name = "feed", poles = ["L", "N", "PE"]}]""",
    "lamp": """role = "load_dc"
port = [{name = "supply", poles = ["+", "-"]}]
value = [{name = "running_a", title = "A"}]""",
    "inlet": """role = "ac_source"
port = [{name = "boat", poles = ["L", "N", "PE"]}]""",
}
LIBRARY: Mapping[str, DeviceKind] = {name: read_device(_HEAD + text, f"{name}.toml") for name, text in _FILES.items()}

_numbers = st.one_of(st.floats(allow_nan=False, allow_infinity=False), st.integers(-1000, 1000).map(float))
_ranges = st.tuples(_numbers, _numbers).map(lambda ends: (min(ends), max(ends)))
quantities = st.one_of(st.none(), _numbers, _ranges)
texts = st.one_of(
    st.sampled_from(
        ["", "?", "yes", "12", "1..2", "a=b", "#no", 'say "no"', "a\\n", "two\nlines", "boat", "-", "é ~ x"]
    ),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
)
_flags = st.sampled_from([None, True, False])
_ids = st.integers(2, 9)


def _values(kind: DeviceKind) -> st.SearchStrategy[dict[str, Any]]:
    """Values as a part of the kind may have them: those with a default are there, the others may be."""
    types = {"quantity": quantities, "text": st.none() | texts, "flag": _flags}
    known = {
        spec.name: st.sampled_from([*spec.choices, None]) if spec.type == "choice" else types[spec.type]
        for spec in kind.value
    }
    fixed = {spec.name for spec in kind.value if spec.default is not None}
    return st.fixed_dictionaries(
        {name: strategy for name, strategy in known.items() if name in fixed},
        optional={name: strategy for name, strategy in known.items() if name not in fixed},
    )


def _evidence(fields: list[str]) -> st.SearchStrategy[dict[str, tuple[Evidence, ...]]]:
    kinds = st.sampled_from(get_args(EvidenceKind))
    said = st.builds(Evidence, kind=kinds, value=quantities, by=texts, date=texts, note=texts)
    return st.dictionaries(st.sampled_from(fields), st.lists(said, min_size=1, max_size=2).map(tuple), max_size=2)


def _positions() -> st.SearchStrategy[tuple[Position, ...]]:
    way = st.builds(
        Position,
        key=texts,
        device=st.sampled_from(["breaker", "fuse", "switch", "none"]),
        rating_a=quantities,
        holder_largest_a=quantities,
        poles=st.integers(1, 4),
        residual_ma=quantities,
        interrupting_a=quantities,
        label=texts,
        state=st.sampled_from(["used", "spare", "prepared", "blank"]),
        may_stay_on=st.booleans(),
    )
    return st.lists(way, max_size=4, unique_by=lambda position: position.key).map(tuple)


@st.composite
def _part(draw: st.DrawFn, number: int, homes: Mapping[str, list[str]]) -> Part:
    kind = draw(st.sampled_from(sorted(LIBRARY)))
    return Part(
        id=f"p{number}",
        kind=kind,
        designation=draw(texts),
        label=draw(texts),
        values=draw(_values(LIBRARY[kind])),
        positions=draw(_positions()) if "panel" in kind else (),
        evidence=draw(_evidence([spec.name for spec in LIBRARY[kind].value if spec.type == "quantity"] or ["label"])),
        note=draw(texts),
        **{field: draw(st.sampled_from(["", *ids])) for field, ids in homes.items()},
    )


@st.composite
def _run(draw: st.DrawFn, number: int, parts: list[Part], spaces: list[str], options: list[str]) -> Run:
    ends = [End(part=part.id, port=port.name) for part in parts for port in ports_of(part, LIBRARY[part.kind])]
    a, b = draw(st.lists(st.sampled_from(ends), min_size=2, max_size=2, unique=True))
    poles = draw(st.lists(st.sampled_from(POLES), min_size=1, max_size=4, unique=True))
    colour = st.sampled_from(["RD", "GNYE", ""]) | texts
    return Run(
        id=f"w{number}",
        a=a,
        b=b,
        poles=tuple(poles),
        number=draw(texts),
        colours=tuple(draw(colour) for _ in poles) if draw(st.booleans()) else (),
        size=draw(st.sampled_from(["", "2/0 AWG", "6 mm2", "6 SAE"]) | texts),
        pe_size=draw(st.sampled_from(["", "2.5 mm2"]) | texts),
        insulation_c=draw(quantities),
        stranded=draw(_flags),
        tinned=draw(_flags),
        cover=draw(st.sampled_from([None, "open", "sheath", "conduit", "enclosure"])),
        length_m=draw(quantities),
        length_basis=draw(st.sampled_from([None, "one-way", "round-trip"])),
        route=tuple(draw(st.lists(st.sampled_from(spaces), max_size=2))) if spaces else (),
        bundled=draw(quantities),
        cranking=draw(st.booleans()),
        label=draw(texts),
        option=draw(st.sampled_from(["", *options])),
        evidence=draw(_evidence(["length_m", "size"])),
        note=draw(texts),
    )


def _particulars() -> st.SearchStrategy[Particulars]:
    revision = st.builds(Revision, index=texts, date=texts, by=texts, text=texts)
    return st.builds(
        Particulars,
        name=texts,
        model=texts,
        revisions=st.lists(revision, max_size=2).map(tuple),
        fuel=st.sampled_from([None, "petrol", "diesel", "none"]),
        engine=st.sampled_from([None, "inboard", "none"]),
        rulebooks=st.sampled_from([(), ("us",), ("iso",), ("us", "iso")]),
        units=st.sampled_from(["us", "metric"]),
        symbols=st.sampled_from(["iec", "na"]),
    )


def _numbered(letter: str) -> st.SearchStrategy[list[str]]:
    return st.lists(_ids.map(lambda number: f"{letter}{number}"), max_size=2, unique=True)


def _condition(identity: str, parts: list[Part]) -> st.SearchStrategy[Condition]:
    switches = st.fixed_dictionaries(
        {}, optional={part.id: st.sampled_from(["off", "1"]) for part in parts if part.kind == "selector"}
    )
    duty = st.fixed_dictionaries(
        {}, optional={part.id: st.sampled_from([0.0, 0.5, 1.0]) for part in parts if part.kind != "selector"}
    )
    return st.builds(Condition, id=st.just(identity), name=texts, switches=switches, duty=duty)


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """A network that keeps to the library, its parts and runs numbered in order."""
    spaces, boxes, options, conditions = (draw(_numbered(letter)) for letter in "cbok")
    homes = {"compartment": spaces, "enclosure": boxes, "option": options}
    parts = [draw(_part(number, homes)) for number in range(1, draw(st.integers(0, 4)) + 1)]
    landings = sum(len(ports_of(part, LIBRARY[part.kind])) for part in parts)
    runs = range(1, draw(st.integers(0, 4)) + 1 if landings > 1 else 1)
    point = st.tuples(_numbers, _numbers)
    space_kinds = st.sampled_from(get_args(SpaceKind))
    return Network(
        particulars=draw(_particulars()),
        parts=tuple(parts),
        runs=tuple(draw(_run(number, parts, spaces, options)) for number in runs),
        compartments=tuple(
            Compartment(
                id=one,
                name=draw(texts),
                kind=draw(space_kinds),
                petrol_vapour=draw(_flags),
                ambient_c=draw(quantities),
                outline_m=tuple(draw(st.lists(point, max_size=3))),
            )
            for one in spaces
        ),
        enclosures=tuple(
            Enclosure(
                id=one,
                name=draw(texts),
                opens=draw(st.sampled_from([None, "hand", "tool"])),
                ac_guard=draw(st.sampled_from([None, "hand", "tool", "none"])),
                partition=draw(_flags),
                compartment=draw(st.sampled_from(["", *spaces])),
            )
            for one in boxes
        ),
        options=tuple(Option(id=one, name=draw(texts), needs=tuple(options[:1])) for one in options),
        conditions=tuple(draw(_condition(one, parts)) for one in conditions),
    )


@st.composite
def documents(draw: st.DrawFn) -> Document:
    """A whole document: a network and a sheet on which some of it stands."""
    network = draw(networks())
    number = _numbers
    sheet = Sheet(
        id="s1",
        title=draw(texts),
        format=draw(texts),
        places=tuple(
            Place(
                part=part.id,
                x_mm=draw(number),
                y_mm=draw(number),
                rotation=draw(st.sampled_from([0, 90, 180, 270])),
                mirrored=draw(st.booleans()),
                width_mm=draw(st.none() | number),
            )
            for part in network.parts
        ),
        routes=tuple(Route(run=run.id, bends=((draw(number), 2.5),)) for run in network.runs),
        notes=(Note(id="n1", x_mm=0.1, y_mm=draw(number), text=draw(texts)),),
    )
    return Document(network=network, sheets=(sheet,), next_id=10)
