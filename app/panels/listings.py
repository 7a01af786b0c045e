"""The tables of the program: circuits, runs, loads and panels of the boat, and the positions of one panel.

Each is a Schedule (app/panels/tables.py): rows and columns as functions of the document. Knows no widget.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from app.panels.fields import VALUES, Field, part_fields, part_name, run_fields, value_of
from app.panels.load_schedule import load_list_schedule
from app.panels.tables import Column, Row, Schedule
from app.reading import FieldRefusedError
from app.store import Edit, edit_with
from app.subjects import filled
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import add_position, set_position
from engine.model.lookup import parts_by_id, runs_at
from engine.model.network import Network, Part, Position, Run

PANEL_ROLES = ("dc_panel", "ac_panel")
LOAD_ROLES = ("load_dc", "load_ac", "outlet_ac", "starter")


def schedules() -> tuple[Schedule, ...]:
    """The tables in the Schedules dock, in order."""
    return (
        Schedule(
            "circuits", tr("Circuits"), circuit_rows, circuit_columns, tr("No panel has ways yet. Place a panel.")
        ),
        Schedule("runs", tr("Runs"), run_rows, run_columns, tr("No runs yet. Connect two ports.")),
        Schedule("loads", tr("Loads"), load_rows, load_columns, tr("No loads yet. Place one from Stores.")),
        load_list_schedule(),
        Schedule("panels", tr("Panels"), panel_rows, panel_columns, tr("No panels yet. Place one from Stores.")),
    )


def position_fields() -> tuple[Field, ...]:
    """The fields of a panel position, in the order they are read along a board."""
    devices = (("breaker", tr("breaker")), ("fuse", tr("fuse")), ("switch", tr("switch")), ("none", tr("none")))
    states = (
        ("used", tr("used")),
        ("spare", tr("spare")),
        ("prepared", tr("prepared")),
        ("blank", tr("blank")),
    )
    return (
        Field(key="key", title=tr("No."), optional=False),
        Field(key="label", title=tr("Circuit")),
        Field(key="state", title=tr("State"), type="choice", choices=states, optional=False),
        Field(key="device", title=tr("Device"), type="choice", choices=devices, optional=False),
        Field(key="rating_a", title=tr("Rating"), type="quantity", unit="A", least=0, grave=True),
        Field(
            key="holder_largest_a", title=tr("Holder takes up to"), type="quantity", unit="A", least=0, grave=True,
            about=tr("The largest fuse that fits the holder: an owner may one day fit it."),
        ),
        Field(key="poles", title=tr("Poles"), type="quantity", least=1, most=4, optional=False),
        Field(
            key="residual_ma", title=tr("Residual"), type="quantity", unit="mA", least=0,
            about=tr("Trip current of a residual-current element in this way."),
        ),
        Field(key="interrupting_a", title=tr("Interrupts"), type="quantity", unit="A", least=0),
        Field(key="may_stay_on", title=tr("May stay on"), type="flag", optional=False),
    )  # fmt: skip


def _position_applies(field: Field) -> Callable[[Row], bool] | None:
    """Which cells of a position are closed: a breaker has no holder, a blank position nothing but its number."""
    if field.key == "holder_largest_a":
        return lambda row: row.record.device == "fuse" and row.record.state != "blank"
    if field.key in ("rating_a", "poles", "residual_ma", "interrupting_a"):
        return lambda row: row.record.state != "blank" and row.record.device != "none"
    return None


def position_value(field: Field, value: Any) -> Any:
    """A position's number of poles is a whole number."""
    return int(value) if field.key == "poles" and isinstance(value, float) else value


def _position_column(field: Field) -> Column:
    def edit(row: Row, value: Any) -> Edit:
        wanted = position_value(field, value)
        return edit_with(set_position, row.owner.id, row.record.key, **{field.key: wanted})

    return Column(field, lambda row: value_of(row.record, field.key), edit, _position_applies(field))


def positions_of(part_id: str) -> Schedule:
    """The positions of one panel, as they are edited in Particulars."""

    def rows(document: Document, _library: Library) -> tuple[Row, ...]:
        part = parts_by_id(document.network).get(part_id)
        return tuple(Row(f"position:{part_id}/{way.key}", way, part) for way in part.positions) if part else ()

    def columns(_document: Document, _library: Library) -> tuple[Column, ...]:
        return tuple(_position_column(field) for field in position_fields())

    empty = tr("No ways yet.")
    return Schedule("positions", tr("Ways"), rows, columns, empty, edit_with(add_position, part_id))


def circuit_rows(document: Document, library: Library) -> tuple[Row, ...]:
    """One row for each position of each panel, with the run that leaves it and the part at its other end."""
    network = document.network
    parts, landing = parts_by_id(network), runs_at(network)
    rows = []
    for part in _with_role(network, library, PANEL_ROLES):
        for way in part.positions:
            runs = landing.get((part.id, f"p{way.key}"), [])
            run = runs[0] if runs else None
            rows.append(Row(f"position:{part.id}/{way.key}", way, part, (run, _far_part(run, part.id, parts))))
    return tuple(rows)


def _far_part(run: Run | None, part_id: str, parts: dict[str, Part]) -> Part | None:
    if run is None:
        return None
    return parts.get(run.b.part if run.a.part == part_id else run.a.part)


def circuit_columns(document: Document, _library: Library) -> tuple[Column, ...]:
    """Panel, the position's own fields, and its wire's."""
    run_by_key = {field.key: field for field in run_fields(document.network)}
    wires = tuple(_wire_column(run_by_key[key]) for key in ("number", "size", "colours", "length_m"))
    panel = Column(Field(key="panel", title=tr("Panel")), lambda row: part_name(row.owner))
    load = Column(Field(key="load", title=tr("Feeds")), lambda row: part_name(row.other[1]) if row.other[1] else "")
    return (panel, *(_position_column(field) for field in position_fields()[:-2]), load, *wires)


def _wire_column(field: Field) -> Column:
    def edit(row: Row, value: Any) -> Edit:
        if row.other[0] is None:
            raise FieldRefusedError(tr("no wire is connected to this way."))
        return lambda document: filled(document, (f"run:{row.other[0].id}",), field.key, value)

    def value(row: Row) -> Any:
        return value_of(row.other[0], field.key) if row.other[0] else None

    return Column(field, value, edit, lambda row: row.other[0] is not None)


def run_rows(document: Document, _library: Library) -> tuple[Row, ...]:
    """One row for each run, with both its parts."""
    parts = parts_by_id(document.network)
    return tuple(
        Row(f"run:{run.id}", run, parts.get(run.a.part), parts.get(run.b.part)) for run in document.network.runs
    )


def run_columns(document: Document, _library: Library) -> tuple[Column, ...]:
    """Number, both ends, poles, and everything that is filled in about a run."""
    number, *rest = run_fields(document.network)
    ends = (
        Column(Field(key="from", title=tr("From")), lambda row: _end_text(row.owner, row.record.a.port)),
        Column(Field(key="to", title=tr("To")), lambda row: _end_text(row.other, row.record.b.port)),
        Column(Field(key="poles", title=tr("Poles")), lambda row: " ".join(row.record.poles)),
    )
    return (_record_column(number), *ends, *(_record_column(field) for field in rest))


def _end_text(part: Part | None, port: str) -> str:
    return f"{part.designation or part.label if part else '?'} {port}"


def _record_column(field: Field) -> Column:
    def edit(row: Row, value: Any) -> Edit:
        return lambda document: filled(document, (row.key,), field.key, value)

    return Column(field, lambda row: value_of(row.record, field.key), edit)


def load_rows(document: Document, library: Library) -> tuple[Row, ...]:
    """One row for each load, with the runs at its supply."""
    landing = runs_at(document.network)
    parts = parts_by_id(document.network)
    return tuple(
        Row(f"part:{part.id}", part, library.get(part.kind), _feeder(part, landing, parts))
        for part in _with_role(document.network, library, LOAD_ROLES)
    )


def _feeder(part: Part, landing: dict[tuple[str, str], list[Run]], parts: dict[str, Part]) -> str:
    """Where the load's first run comes from."""
    for (owner, port), runs in landing.items():
        if owner == part.id and port != "neg" and runs:
            run = runs[0]
            end = run.b if run.a.part == part.id else run.a
            return _end_text(parts.get(end.part), end.port)
    return ""


def load_columns(document: Document, library: Library) -> tuple[Column, ...]:
    """Designation, name, kind, feeder, and every value that the loads aboard can have."""
    kinds = {part.kind for part in _with_role(document.network, library, LOAD_ROLES)}
    return (*_named(document), *_kind_columns(library, kinds, (_kind_column(), _fed_column())), *_placed(document))


def _kind_column() -> Column:
    return Column(
        Field(key="kind", title=tr("Kind")), lambda row: tr(row.owner.title) if row.owner else row.record.kind
    )


def _fed_column() -> Column:
    return Column(Field(key="fed", title=tr("Fed from")), lambda row: row.other)


def _named(document: Document) -> tuple[Column, ...]:
    return tuple(_record_column(field) for field in part_fields(None, document.network)[:2])


def _placed(document: Document) -> tuple[Column, ...]:
    return tuple(_record_column(field) for field in part_fields(None, document.network)[2:])


def _kind_columns(library: Library, kinds: Iterable[str], first: tuple[Column, ...]) -> tuple[Column, ...]:
    """A column for each value that one of these kinds has; closed where a row's kind does not have it."""
    fields: dict[str, Field] = {}
    for kind_id in sorted(kinds):
        for field in part_fields(library.get(kind_id), Network()):
            if field.key.startswith(VALUES):
                fields.setdefault(field.key, field)
    return (*first, *(_value_column(field, library) for field in fields.values()))


def _value_column(field: Field, library: Library) -> Column:
    name = field.key.removeprefix(VALUES)

    def applies(row: Row) -> bool:
        kind = library.get(row.record.kind)
        return kind is not None and any(spec.name == name for spec in kind.value)

    plain = _record_column(field)
    return Column(field, plain.value, plain.edit, applies)


def panel_rows(document: Document, library: Library) -> tuple[Row, ...]:
    """One row for each panel."""
    parts, landing = parts_by_id(document.network), runs_at(document.network)
    return tuple(
        Row(f"part:{part.id}", part, library.get(part.kind), _feeder(part, _feeds_only(landing), parts))
        for part in _with_role(document.network, library, PANEL_ROLES)
    )


def _feeds_only(landing: dict[tuple[str, str], list[Run]]) -> dict[tuple[str, str], list[Run]]:
    return {end: runs for end, runs in landing.items() if end[1].startswith("feed")}


def panel_columns(document: Document, library: Library) -> tuple[Column, ...]:
    """Designation, name, kind, feeder, positions, and the panels' values."""
    kinds = {part.kind for part in _with_role(document.network, library, PANEL_ROLES)}
    counted = (_count_column(tr("Ways"), ()), _count_column(tr("Spare"), ("spare", "prepared")))
    first = (_kind_column(), _fed_column(), *counted)
    return (*_named(document), *_kind_columns(library, kinds, first), *_placed(document))


def _count_column(title: str, states: tuple[str, ...]) -> Column:
    def count(row: Row) -> float:
        ways: tuple[Position, ...] = row.record.positions
        return float(sum(not states or way.state in states for way in ways))

    return Column(Field(key=f"count {title}", title=title, type="quantity"), count)


def _with_role(network: Network, library: Library, roles: tuple[str, ...]) -> tuple[Part, ...]:
    return tuple(part for part in network.parts if part.kind in library and library[part.kind].role in roles)
