"""What a person can fill in about parts, runs, the boat and its sheets: the fields, their texts and their values.

The form in Particulars and the tables in Schedules are both made from these. Reading and writing of texts with units
is app/reading.py; the change itself is an edit. Knows no widget.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import msgspec

from engine.library.device import DeviceKind, ValueSpec
from engine.messages import tr
from engine.model.network import Network, Part, Run

FieldType = Literal["text", "long", "quantity", "choice", "flag", "size", "codes", "names"]
Choices = tuple[tuple[str, str], ...]
"""(value, what a person reads)."""
Subject = Literal["part", "run", "boat", "sheet"]

VALUES = "values."


class Field(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that can be filled in. `key` is the record's field, or "values.NAME" for a value of the part's kind."""

    key: str
    title: str
    type: FieldType = "text"
    unit: str = ""
    choices: Choices = ()
    about: str = ""
    least: float | None = None
    most: float | None = None
    optional: bool = True
    """False: there is always a value; emptied, it is refused."""
    evidence: bool = False
    """How it is known can be said."""
    grave: bool = False
    group: str = ""
    none: str = "?"
    """What stands for no value."""


def value_field(spec: ValueSpec) -> Field:
    """The field of a value that the device library describes."""
    choices = tuple((choice, choice.replace("_", " ")) for choice in spec.choices)
    return Field(
        key=VALUES + spec.name,
        title=tr(spec.title),
        type=spec.type,
        unit=spec.unit,
        choices=choices,
        about=tr(spec.about) if spec.about else "",
        least=spec.min,
        most=spec.max,
        evidence=True,
        grave=spec.grave,
        group=tr("Ratings"),
    )


def part_fields(kind: DeviceKind | None, network: Network) -> tuple[Field, ...]:
    """The fields of a part of this kind, in the order of the form. Without a kind: those that all parts share."""
    own = tuple(value_field(spec) for spec in kind.value) if kind else ()
    place, more = tr("Where it is"), tr("More")
    return (
        Field(
            key="designation",
            title=tr("Designation"),
            optional=False,
            about=tr("Letter and number, after IEC 81346; unique on the boat."),
        ),
        Field(key="label", title=tr("Name"), about=tr("What it is called aboard, as it stands on the label.")),
        *own,
        Field(key="compartment", title=tr("Compartment"), type="choice", choices=_compartments(network), group=place),
        Field(key="enclosure", title=tr("Enclosure"), type="choice", choices=_enclosures(network), group=place),
        Field(
            key="option",
            title=tr("Option"),
            type="choice",
            choices=_options(network),
            group=more,
            none=tr("every boat"),
        ),
        Field(key="note", title=tr("Remark"), group=more),
    )


def run_fields(network: Network) -> tuple[Field, ...]:
    """The fields of a run, in the order of the form."""
    cable, way, more = tr("Cable"), tr("Way"), tr("More")
    covers = (
        ("open", tr("open")),
        ("sheath", tr("sheath")),
        ("conduit", tr("conduit")),
        ("enclosure", tr("enclosure")),
    )
    return (
        Field(key="number", title=tr("Wire number"), about=tr("Printed at both ends; unique on the boat.")),
        Field(key="label", title=tr("Name")),
        Field(
            key="size",
            title=tr("Size"),
            type="size",
            evidence=True,
            grave=True,
            group=cable,
            about=tr("For instance 10 AWG, 10 SAE or 6 mm2. AWG, SAE and mm2 differ."),
        ),
        Field(
            key="pe_size",
            title=tr("Size of the earth core"),
            type="size",
            evidence=True,
            group=cable,
            about=tr("Where it differs from the other cores."),
        ),
        Field(
            key="colours",
            title=tr("Colours"),
            type="codes",
            evidence=True,
            group=cable,
            about=tr("IEC 60757 code of each core, in the order of the poles: RD, BK, YE …"),
        ),
        Field(
            key="insulation_c",
            title=tr("Insulation rating"),
            type="quantity",
            unit="degC",
            least=60,
            most=200,
            evidence=True,
            grave=True,
            group=cable,
        ),
        Field(key="stranded", title=tr("Stranded"), type="flag", evidence=True, group=cable),
        Field(key="tinned", title=tr("Tinned"), type="flag", evidence=True, group=cable),
        Field(
            key="length_m", title=tr("Length"), type="quantity", unit="m", least=0, evidence=True, grave=True, group=way
        ),
        Field(
            key="length_basis",
            title=tr("Length is"),
            type="choice",
            choices=(("one-way", tr("one way")), ("round-trip", tr("out and back"))),
            evidence=True,
            group=way,
        ),
        Field(key="cover", title=tr("Covered by"), type="choice", choices=covers, evidence=True, grave=True, group=way),
        Field(
            key="route",
            title=tr("Passes"),
            type="names",
            choices=_compartments(network),
            group=way,
            about=tr("Compartments in order, with commas."),
        ),
        Field(
            key="bundled",
            title=tr("Bundled conductors"),
            type="quantity",
            least=1,
            evidence=True,
            grave=True,
            group=way,
            about=tr("Current-carrying conductors bundled together, its own included."),
        ),
        Field(
            key="cranking",
            title=tr("Cranking cable"),
            type="flag",
            optional=False,
            group=way,
            about=tr("Part of the cable between a battery and the engine's starter."),
        ),
        Field(
            key="option",
            title=tr("Option"),
            type="choice",
            choices=_options(network),
            group=more,
            none=tr("every boat"),
        ),
        Field(key="note", title=tr("Remark"), group=more),
    )


def boat_fields() -> tuple[Field, ...]:
    """The particulars of the boat and of its drawing."""
    rules, paper = tr("Rules and units"), tr("Title block")
    fuels = (("petrol", tr("petrol")), ("diesel", tr("diesel")), ("none", tr("none")))
    engines = (("inboard", tr("inboard")), ("outboard", tr("outboard")), ("none", tr("none")))
    return (
        Field(key="name", title=tr("Boat"), optional=False),
        Field(key="model", title=tr("Model")),
        Field(key="hull", title=tr("Hull number")),
        Field(key="yard", title=tr("Yard")),
        Field(key="fuel", title=tr("Fuel"), type="choice", choices=fuels, grave=True),
        Field(key="engine", title=tr("Engine"), type="choice", choices=engines, grave=True),
        Field(key="hull_material", title=tr("Hull material")),
        Field(
            key="rulebooks",
            title=tr("Rules"),
            type="names",
            choices=(("us", tr("US (33 CFR 183, E-11)")), ("iso", tr("ISO 13297"))),
            optional=False,
            group=rules,
            about=tr("us, iso, or us, iso"),
        ),
        Field(key="shore_region", title=tr("Shore supply"), group=rules),
        Field(
            key="units",
            title=tr("Units"),
            type="choice",
            choices=(("us", tr("feet, AWG")), ("metric", tr("metres, mm²"))),
            optional=False,
            group=rules,
        ),
        Field(
            key="symbols",
            title=tr("Symbols"),
            type="choice",
            choices=(("iec", tr("IEC")), ("na", tr("North American"))),
            optional=False,
            group=rules,
        ),
        Field(key="drawing_number", title=tr("Drawing number"), group=paper),
        Field(key="revision", title=tr("Revision"), group=paper),
        Field(key="date", title=tr("Date"), group=paper),
        Field(key="drawn_by", title=tr("Drawn by"), group=paper),
        Field(key="approved_by", title=tr("Approved by"), group=paper),
    )


def sheet_fields(formats: Sequence[str]) -> tuple[Field, ...]:
    """The fields of a drawing sheet."""
    sizes = tuple((name, name) for name in formats)
    return (
        Field(key="title", title=tr("Sheet title")),
        Field(key="format", title=tr("Paper"), type="choice", choices=sizes, optional=False),
    )


def note_fields() -> tuple[Field, ...]:
    """The fields of a line of text on the sheet."""
    return (
        Field(key="text", title=tr("Text"), optional=False),
        Field(key="height_mm", title=tr("Height, mm"), type="quantity", least=1.8, most=20, optional=False),
    )


def shared_fields(fields: Sequence[Sequence[Field]]) -> tuple[Field, ...]:
    """The fields that every one of the selected things has, without those that must differ."""
    if not fields:
        return ()
    common = set.intersection(*({field.key for field in some} for some in fields)) - {"designation", "number"}
    return tuple(field for field in fields[0] if field.key in common)


def value_of(record: Any, key: str) -> Any:
    """What the record says in a field; None for an unknown value of a part."""
    if key.startswith(VALUES):
        return record.values.get(key.removeprefix(VALUES))
    return getattr(record, key)


def evidence_name(field: Field) -> str:
    """The name under which a record keeps the evidence of a field."""
    return field.key.removeprefix(VALUES)


def ends_text(run: Run, network: Network) -> str:
    """From where to where a run leads, by designation and port."""
    names = {part.id: part.designation or part.label or part.id for part in network.parts}
    return f"{names.get(run.a.part, '?')} {run.a.port} – {names.get(run.b.part, '?')} {run.b.port}"


def part_name(part: Part) -> str:
    """Designation and name of a part, as a person reads them."""
    return " ".join(text for text in (part.designation, part.label) if text) or part.id


def _compartments(network: Network) -> Choices:
    return tuple((space.id, space.name) for space in network.compartments)


def _enclosures(network: Network) -> Choices:
    return tuple((box.id, box.name) for box in network.enclosures)


def _options(network: Network) -> Choices:
    return tuple((option.id, option.name) for option in network.options)
