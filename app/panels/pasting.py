"""Rows and columns copied from a spreadsheet (tab-separated text) become one edit of the document, or none.

All or nothing: where one cell cannot be taken, nothing is changed and every such cell is named with the reason. Pure;
knows no widget.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any

import msgspec

from app.panels.tables import Column, Row, Schedule
from app.reading import FieldRefusedError, read, shown
from app.refusals import sentence
from app.store import Edit
from engine.library.device import Library
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.records import EditRefused
from engine.units import World

MOST_TOLD = 6
"""Refusals named one by one; the rest are counted."""


class PasteRefusedError(ValueError):
    """What was pasted cannot be taken: `cells` has one sentence for each cell."""

    def __init__(self, cells: Sequence[str]) -> None:
        told = list(cells[:MOST_TOLD])
        if len(cells) > MOST_TOLD:
            told.append(tr("and {count} more.").format(count=len(cells) - MOST_TOLD))
        super().__init__(tr("Nothing was pasted.") + " " + " ".join(told))
        self.cells = tuple(cells)


class Grid(msgspec.Struct, frozen=True):
    """The table as it is seen: rows in the order they are shown, columns from left to right."""

    rows: tuple[Row, ...]
    columns: tuple[Column, ...]


def cells_of(text: str) -> list[list[str]]:
    """The cells of a tab-separated text; a quoted cell may hold tabs and line ends, as spreadsheets write it."""
    rows = list(csv.reader(io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n")), delimiter="\t"))
    while rows and not any(cell.strip() for cell in rows[-1]):
        rows.pop()
    return [[cell.strip() for cell in row] for row in rows]


def columns_for(cells: list[list[str]], columns: Sequence[Column], first: int) -> tuple[list[int], list[list[str]]]:
    """Which column each pasted one goes to, and the cells without their heading.

    A first row that is made of headings of this table leads each column to its own; otherwise they go from `first` on.
    """
    titles = {column.field.title.casefold(): at for at, column in enumerate(columns)}
    named = [titles.get(cell.casefold()) for cell in cells[0]]
    if len(named) > 1 and all(at is not None for at in named):
        return [at for at in named if at is not None], cells[1:]
    return list(range(first, first + max(len(row) for row in cells))), cells


def paste_edit(
    text: str, schedule: Schedule, grid: Grid, at: tuple[int, int], document: Document, library: Library
) -> Edit:
    """The one edit that pastes the text with its first cell at (row, column). Raises PasteRefusedError."""
    cells = cells_of(text)
    if not cells:
        raise PasteRefusedError([tr("There is no text to paste.")])
    targets, cells = columns_for(cells, grid.columns, at[1])
    added = max(0, at[0] + len(cells) - len(grid.rows))
    if added and schedule.append is None:
        raise PasteRefusedError([_too_long(len(cells), len(grid.rows) - at[0])])
    rows = _grown(document, library, schedule, grid, added)
    edits = _edits(cells, targets, rows, grid.columns, at[0], document.network.particulars.units)

    def edit(now: Document) -> Document:
        return _all(_appended(now, schedule, added), edits)

    _check_closed(cells, targets, rows[at[0] :], grid.columns, _tried(edit, document, schedule, library))
    return edit


def _tried(edit: Edit, document: Document, schedule: Schedule, library: Library) -> dict[str, Row]:
    """The rows as the edit would leave them, by key."""
    try:
        return {row.key: row for row in schedule.rows(edit(document), library)}
    except EditRefused as refused:
        raise PasteRefusedError([sentence(refused)]) from refused


def _check_closed(
    cells: list[list[str]], targets: list[int], rows: Sequence[Row], columns: Sequence[Column], after: dict[str, Row]
) -> None:
    """Refuse what was pasted into a cell that is closed once the whole row is in: a holder for a breaker, say."""
    refused = [
        tr("Row {row}: {column} cannot be filled in here.").format(row=down, column=columns[at].field.title)
        for down, (line, row) in enumerate(zip(cells, rows, strict=False), 1)
        for at, text in zip(targets, line, strict=False)
        if text and (new := after.get(row.key)) and columns[at].edit is not None and not columns[at].open_for(new)
    ]
    if refused:
        raise PasteRefusedError(refused)


def _too_long(pasted: int, room: int) -> str:
    return tr("{pasted} rows do not fit into the {room} rows from here.").format(pasted=pasted, room=room)


def _appended(document: Document, schedule: Schedule, count: int) -> Document:
    for _ in range(count):
        document = schedule.append(document) if schedule.append else document
    return document


def _grown(document: Document, library: Library, schedule: Schedule, grid: Grid, added: int) -> tuple[Row, ...]:
    """The rows as they are seen, and after them those that will be added."""
    if not added:
        return grid.rows
    known = {row.key for row in grid.rows}
    rows = schedule.rows(_appended(document, schedule, added), library)
    return (*grid.rows, *(row for row in rows if row.key not in known))


def _edits(
    cells: list[list[str]],
    targets: list[int],
    rows: tuple[Row, ...],
    columns: tuple[Column, ...],
    top: int,
    world: World,
) -> list[Edit]:
    edits: list[Edit] = []
    refused: list[str] = []
    for down, line in enumerate(cells):
        for at, text in zip(targets, line, strict=False):
            try:
                edits += _cell(text, columns, at, rows[top + down], world)
            except FieldRefusedError as error:
                refused.append(tr("Row {row}: {why}").format(row=down + 1, why=error))
    if refused:
        raise PasteRefusedError(refused)
    return edits


def _cell(text: str, columns: tuple[Column, ...], at: int, row: Row, world: World) -> list[Edit]:
    """An empty cell, or one that says what is shown, leaves what is there; a closed one takes nothing else."""
    if not text:
        return []
    if at >= len(columns):
        raise FieldRefusedError(tr("there is no column for “{text}”.").format(text=text))
    column = columns[at]
    if column.edit is None:
        return _closed(text, column, row)
    if text == shown(column.field, column.value(row), world):
        return []
    value: Any = read(column.field, text, world)
    return [column.edit(row, value)]


def _closed(text: str, column: Column, row: Row) -> list[Edit]:
    if str(column.value(row) or "").casefold() == text.casefold():
        return []
    raise FieldRefusedError(tr("{column} cannot be filled in here.").format(column=column.field.title))


def _all(document: Document, edits: Sequence[Edit]) -> Document:
    for edit in edits:
        document = edit(document)
    return document
