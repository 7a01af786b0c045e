"""Device kinds: what a kind of component is, read from symbols/devices/*.toml. Knows no boat and no drawing.

A device file in short (the file's name is the kind's id):

    title = "Bolt-down fuse"
    about = "A fuse bolted to studs, for battery and feeder cables."
    group = "Fuses and breakers"        # heading in Stores
    letter = "F"                        # class letter after IEC 81346-2
    role = "protection"                 # one of Role: what the engine takes it for
    symbol = "fuse"                     # symbols/shapes/fuse.toml, or "bar", "block", "board" (drawn by code)
    inline = ["a", "b"]                 # poles of a run that it does not take pass straight through between these ports
    states = ["off", "on"]              # switch positions; the first is how it is drawn; omit when it has none

    [[port]]
    name = "a"
    poles = ["+"]
    # count = "studs"                   # repeated: name = "s{n}", n = 1 … the part's value "studs"
    # title = "Supply"                  # what a person reads

    [[link]]
    kind = "fuse"                       # see LinkKind
    between = ["a:+", "b:+"]            # port:pole; {n} repeats it over the counted ports
    states = []                         # switch positions in which it is closed; empty: always
    rating = "rating_a"                 # name of the value that holds its rating, A (fuse, breaker, contact, source)
    only_if = "bonds_neutral"           # name of a flag that takes the link out when a part says no

    [[value]]
    name = "rating_a"
    title = "Rating"
    type = "quantity"                   # quantity | text | choice | flag
    unit = "A"
    default = 100                       # written into a new part; absent: a new part says unknown
    choices = []                        # for type choice
    min = 0
    max = 1000
    grave = true                        # a check that decides on safety needs it

    [[preset]]
    title = "Group 31 AGM"
    values = { capacity_ah = 100 }
    source = "common practice, no source"

Conventions that make drawings and checks possible:
- A DC load, DC panel, inverter or other consumer whose supply port carries (+ -) has a second port `neg` (-), joined to
  the supply's - by a through link, so that a single-core return has a pin of its own.
- An AC device's `supply`, `ac`, `feed` carry all its AC poles and PE. A metal case has a port `case` (BOND), or PE.
- Energy links name the side they take from first and the side they feed second: source ["neg:-", "pos:+"], converter
  ["ac:L", "out1:+"]. A converter has a second converter link for the return (["ac:N", "neg:-"]) with the same rating, so
  that the return conductor is known to carry current. What it takes is the value `input_a`; what it gives, A, its rating.
- Sources other than batteries have the flag `self_limiting` (unknown unless the kind implies it).
- Currents of loads: `running_a`, or `power_w` with `nominal_v`; starters `cranking_a`. `drop_class`: critical (3 %) or
  ordinary (10 %). `vital`, `around_the_clock` mark what must stay live. `metal_case`, `ignition_protected` are flags.
- A fuse holder has `rating_a` and `holder_largest_a`; devices have `interrupting_a` and `voltage_v`; a residual element
  has `residual_ma`; a breaker's `poles` follows from its kind.
- Panels (role dc_panel, ac_panel) get ports p1 … pn from the part's positions, by code (engine/library/expand.py), not
  from the file; the file gives feed, neg and values main_device, main_rating_a, main_poles, main_residual_ma, bus_a.
- Buses have studs s1 … sn joined to s1.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Literal

import msgspec

Role = Literal[
    "battery",  # stores energy: an unlimited source of fault current
    "generator_dc",  # alternator, solar array, wind: a current-limited DC source
    "converter",  # charger, inverter, DC-DC, charge controller: power crosses, no conductor does
    "ac_source",  # shore inlet, generator
    "transformer",  # isolation transformer
    "galvanic_isolator",
    "bus",  # buses, grounds, engine block, terminal block: nodes with studs
    "dc_panel",
    "ac_panel",
    "protection",  # fuses, breakers, residual-current devices, surge protectors
    "switch",  # battery switches, selectors, relays, contactors, float switches
    "meter",  # shunts, meters, indicators
    "load_dc",
    "load_ac",
    "outlet_ac",
    "starter",
    "bond",  # bond points, anodes, lightning terminals
]

LinkKind = Literal[
    "through", "fuse", "breaker", "contact", "residual", "bond", "blocking", "source", "load", "converter"
]
ValueType = Literal["quantity", "text", "choice", "flag"]
Default = float | bool | str | tuple[float, float] | None


class DeviceRecord(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Base of the records in a device file."""


class PortKind(DeviceRecord, frozen=True, kw_only=True):
    """A named attaching point and the poles it carries; counted ports hold {n} in their name."""

    name: str
    poles: tuple[str, ...]
    count: str = ""
    title: str = ""


class LinkSpec(DeviceRecord, frozen=True, kw_only=True):
    """What lies between two of the device's own poles."""

    kind: LinkKind
    between: tuple[str, str]
    states: tuple[str, ...] = ()
    rating: str = ""
    spans: tuple[str, ...] = ()
    """For a residual element: every live port:pole on the outgoing side that it sums."""
    only_if: str = ""
    """Name of a flag: the link is left out where a part says no. Where the flag is unknown the link is there."""


class ValueSpec(DeviceRecord, frozen=True, kw_only=True):
    """One value a part of this kind can have."""

    name: str
    title: str
    type: ValueType = "quantity"
    unit: str = ""
    default: Default = None
    choices: tuple[str, ...] = ()
    min: float | None = None
    max: float | None = None
    grave: bool = False
    about: str = ""


class Preset(DeviceRecord, frozen=True, kw_only=True):
    """A usual set of values under one name, with where they come from."""

    title: str
    values: Mapping[str, Default]
    source: str = ""


class DeviceKind(DeviceRecord, frozen=True, kw_only=True):
    """A kind of component."""

    id: str = ""
    title: str
    about: str = ""
    group: str
    letter: str
    role: Role
    symbol: str
    inline: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    port: tuple[PortKind, ...] = ()
    link: tuple[LinkSpec, ...] = ()
    value: tuple[ValueSpec, ...] = ()
    preset: tuple[Preset, ...] = ()
    words: tuple[str, ...] = ()
    """Other words people search for."""


Library = Mapping[str, DeviceKind]
"""Every device kind by its id."""


class LibraryError(Exception):
    """Device files that cannot be read; `problems` has one line each: file, place, what is wrong."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


def read_device(text: str, name: str) -> DeviceKind:
    """One device file. Raises LibraryError naming the file and the place."""
    try:
        table = tomllib.loads(text)
        kind = msgspec.convert({**table, "id": Path(name).stem}, DeviceKind, strict=False)
    except (tomllib.TOMLDecodeError, msgspec.ValidationError) as error:
        raise LibraryError([f"{name}: {error}"]) from error
    return kind


def load_library() -> dict[str, DeviceKind]:
    """Every device kind of the program, ordered by file name. Raises LibraryError with all problems at once."""
    kinds: dict[str, DeviceKind] = {}
    problems: list[str] = []
    folder = resources.files("symbols").joinpath("devices")
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".toml"):
            try:
                kind = read_device(file.read_text(encoding="utf-8"), file.name)
                kinds[kind.id] = kind
            except LibraryError as error:
                problems += error.problems
    if problems:
        raise LibraryError(problems)
    return kinds
