"""What the boat is: parts, runs, compartments, enclosures, options, conditions, evidence, answers, house rules.

Nothing of how it is drawn.

Every record is frozen; an edit makes new ones (see edits). Mappings are never changed in place. Nothing derived is
stored. Lengths are in metres, currents in amperes, temperatures in degrees Celsius; the unit is in the name.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from engine.model.house import Deviation, House
from engine.model.quantity import Quantity, Value
from engine.model.record import Record as Record

Rulebook = Literal["us", "iso"]
Fuel = Literal["petrol", "diesel", "none"]
Engine = Literal["inboard", "outboard", "none"]
UnitSystem = Literal["us", "metric"]
EvidenceKind = Literal["design", "nameplate", "label", "traced", "measured", "assumed"]
Cover = Literal["open", "sheath", "conduit", "enclosure"]
LengthBasis = Literal["one-way", "round-trip"]
PositionDevice = Literal["breaker", "fuse", "switch", "none"]
PositionState = Literal["used", "spare", "prepared", "blank"]
SpaceKind = Literal["engine", "battery", "fuel", "bilge", "deck", "galley", "head", "dry", "mast"]
Opening = Literal["hand", "tool"]

POLES = ("+", "-", "L", "L1", "L2", "N", "PE", "BOND")
DC_POLES = frozenset({"+", "-"})
AC_POLES = frozenset({"L", "L1", "L2", "N"})
AC_LINES = frozenset({"L", "L1", "L2"})


class Revision(Record, frozen=True, kw_only=True):
    """One line of the revision list."""

    index: str
    date: str = ""
    by: str = ""
    text: str = ""


class Particulars(Record, frozen=True, kw_only=True):
    """Who and what the boat is, and which rules apply to it."""

    name: str = "Unnamed boat"
    model: str = ""
    hull: str = ""
    yard: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    date: str = ""
    drawing_number: str = ""
    revision: str = ""
    revisions: tuple[Revision, ...] = ()
    fuel: Fuel | None = None
    engine: Engine | None = None
    hull_material: str = ""
    rulebooks: tuple[Rulebook, ...] = ("us",)
    shore_region: str = ""
    units: UnitSystem = "us"
    symbols: Literal["iec", "na"] = "iec"
    language: str = "en"


class Evidence(Record, frozen=True, kw_only=True):
    """One statement about one field: what it says, how it is known, by whom and when."""

    kind: EvidenceKind
    value: Value = None
    by: str = ""
    date: str = ""
    note: str = ""


class Position(Record, frozen=True, kw_only=True):
    """One way of a panel: its device, the circuit it names, and whether it is used, spare, prepared or blank."""

    key: str
    device: PositionDevice = "breaker"
    rating_a: Quantity = None
    holder_largest_a: Quantity = None
    """Largest fuse the holder accepts, A (fuses only)."""
    poles: int = 1
    residual_ma: Quantity = None
    """Trip current of a residual-current element in this way, mA; None: has none."""
    interrupting_a: Quantity = None
    label: str = ""
    state: PositionState = "used"
    may_stay_on: bool = False
    """May be left on when the boat is left."""


class Part(Record, frozen=True, kw_only=True):
    """One component of a kind in the device library."""

    id: str
    kind: str
    designation: str = ""
    label: str = ""
    values: Mapping[str, Value] = {}
    positions: tuple[Position, ...] = ()
    compartment: str = ""
    enclosure: str = ""
    option: str = ""
    evidence: Mapping[str, tuple[Evidence, ...]] = {}
    note: str = ""


class End(Record, frozen=True, kw_only=True):
    """One end of a run: the port of a part it lands on."""

    part: str
    port: str


class Run(Record, frozen=True, kw_only=True):
    """A cable from one port to another, with a core for each pole it carries."""

    id: str
    a: End
    b: End
    poles: tuple[str, ...]
    number: str = ""
    """Wire number; unique on the boat."""
    colours: tuple[str, ...] = ()
    """IEC 60757 code of each core, in the order of poles; "" where unknown."""
    size: str = ""
    """"10 AWG", "10 SAE" or "6 mm2"; "" unknown."""
    pe_size: str = ""
    """Size of the PE or BOND core where it differs from the others."""
    insulation_c: Quantity = None
    stranded: bool | None = True
    tinned: bool | None = None
    cover: Cover | None = None
    length_m: Quantity = None
    length_basis: LengthBasis | None = "one-way"
    route: tuple[str, ...] = ()
    """Compartments it passes, in order."""
    bundled: Quantity = None
    """Current-carrying conductors bundled together, its own included."""
    cranking: bool = False
    """Part of the cable between a battery and the engine's starter."""
    label: str = ""
    option: str = ""
    evidence: Mapping[str, tuple[Evidence, ...]] = {}
    note: str = ""


class Compartment(Record, frozen=True, kw_only=True):
    """A space of the boat and what is in the air there."""

    id: str
    name: str
    kind: SpaceKind = "dry"
    petrol_vapour: bool | None = None
    ambient_c: Quantity = None
    outline_m: tuple[tuple[float, float], ...] = ()
    """Corners in plan, metres forward of the transom and to starboard of the centre line."""


class Enclosure(Record, frozen=True, kw_only=True):
    """A box, locker or panel back that several parts share."""

    id: str
    name: str
    opens: Opening | None = None
    """How it is opened: by hand, or with a tool only."""
    ac_guard: Opening | Literal["none"] | None = None
    """The inner cover over its AC live parts: taken off with a tool, by hand, or there is none."""
    partition: bool | None = None
    """A fixed wall between its AC and its DC parts."""
    compartment: str = ""


class Option(Record, frozen=True, kw_only=True):
    """A package that a hull may or may not have."""

    id: str
    name: str
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()


class Condition(Record, frozen=True, kw_only=True):
    """An operating condition: which switch is where, and how hard each load works.

    `duty` is the share, 0 to 1, of a part's full load or output over the time that the condition lasts. A load or charging
    source that it does not name is off, or draws its stand-by current.
    """

    id: str
    name: str
    switches: Mapping[str, str] = {}
    duty: Mapping[str, float] = {}


class Answer(Record, frozen=True, kw_only=True):
    """What an inspection found: the answer to one question of the inspection list about one thing."""

    item: str
    """Id of the question (engine/data/inspection_items.toml)."""
    subject: str
    """What it is about: "part:p3", "run:w2", "class:dc" (a class of runs) or "boat"."""
    answer: bool | float
    """Yes, no, or what was measured, in the unit of the question."""
    by: str = ""
    date: str = ""
    note: str = ""


class Network(Record, frozen=True, kw_only=True):
    """The boat itself."""

    particulars: Particulars = Particulars()
    parts: tuple[Part, ...] = ()
    runs: tuple[Run, ...] = ()
    compartments: tuple[Compartment, ...] = ()
    enclosures: tuple[Enclosure, ...] = ()
    options: tuple[Option, ...] = ()
    conditions: tuple[Condition, ...] = ()
    answers: tuple[Answer, ...] = ()
    """What was found aboard; at most one answer to a question about a thing."""
    deviations: tuple[Deviation, ...] = ()
    """What is left as it is by decision; at most one for a finding."""
    house: House = House()
    """The house rules of the yard that the boat is checked by besides the rulebooks."""
