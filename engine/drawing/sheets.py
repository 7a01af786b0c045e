"""Sheets of paper: sizes, margins and zones of ISO 5457 and ASME Y14.1, and where on a sheet a drawing may stand.

Knows nothing of what is drawn.
"""

from __future__ import annotations

import csv
import math
from bisect import bisect_right
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise

import msgspec

from engine.drawing.metrics import Box

MODULE_MM = 2.5
"""The module that drawings are aligned on (IEC 61082-1; from memory)."""

ROW_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""No I and no O, which read as figures (ISO 5457; from memory)."""

ZONE_PITCH_MM = 50.0
TITLE_WIDTH_MM = 180.0
TITLE_HEIGHT_MM = 37.5
CLEARANCE_MM = 5.0
"""Between the frame and what is drawn (our own choice)."""


class SheetFormat(msgspec.Struct, frozen=True):
    """A sheet with its frame.

    `column_edges_mm` and `row_edges_mm` are the borders of the zones from the left and from the top, the frame's own
    sides first and last. Numbers and letters count from the top left on ISO sheets, from the lower right on ANSI ones.
    `label` is what the title block says; `status` tells how well the numbers are known.
    """

    name: str
    label: str
    title: str
    series: str
    width_mm: float
    height_mm: float
    left_mm: float
    right_mm: float
    top_mm: float
    bottom_mm: float
    column_edges_mm: tuple[float, ...]
    row_edges_mm: tuple[float, ...]
    status: str
    source: str


def sheet_names() -> tuple[str, ...]:
    """Names of all formats, as `sheet_format` takes them."""
    return tuple(_formats())


def sheet_format(name: str) -> SheetFormat:
    """The format of a name: "A4" upright, "A3", "A2", "A1", "letter" upright, "tabloid", "C", "D"; else KeyError."""
    return _formats()[name]


def drawing_space(sheet: SheetFormat) -> Box:
    """The inside of the frame line, mm."""
    return (sheet.left_mm, sheet.top_mm, sheet.width_mm - sheet.right_mm, sheet.height_mm - sheet.bottom_mm)


def is_title_full_width(sheet: SheetFormat) -> bool:
    """True on upright sheets (A4, letter), where the title block takes the whole foot."""
    return sheet.width_mm < sheet.height_mm


def title_box(sheet: SheetFormat) -> Box:
    """Where the title block stands: at the lower right, on upright sheets over the whole width."""
    x0, _, x1, y1 = drawing_space(sheet)
    width_mm = x1 - x0 if is_title_full_width(sheet) else TITLE_WIDTH_MM
    return (x1 - width_mm, y1 - TITLE_HEIGHT_MM, x1, y1)


def drawing_area(sheet: SheetFormat) -> Box:
    """Where the drawing may stand: clear of the frame and above the title block, on the module of 2.5 mm."""
    x0, y0, x1, _ = drawing_space(sheet)
    foot = title_box(sheet)[1]
    return (_up(x0 + CLEARANCE_MM), _up(y0 + CLEARANCE_MM), _down(x1 - CLEARANCE_MM), _down(foot - CLEARANCE_MM))


def foot_area(sheet: SheetFormat) -> Box | None:
    """The free ground to the left of the title block (notes, a legend), on the module; None on upright sheets."""
    if is_title_full_width(sheet):
        return None
    x0, _, _, y1 = drawing_space(sheet)
    left, top, _, _ = title_box(sheet)
    return (_up(x0 + CLEARANCE_MM), _up(top), _down(left - CLEARANCE_MM), _down(y1 - CLEARANCE_MM))


def column_names(sheet: SheetFormat) -> tuple[str, ...]:
    """Numbers of the zones from left to right."""
    numbers = range(1, len(sheet.column_edges_mm))
    return tuple(str(number) for number in (numbers if sheet.series == "ISO" else reversed(numbers)))


def row_names(sheet: SheetFormat) -> tuple[str, ...]:
    """Letters of the zones from the top down."""
    letters = ROW_LETTERS[: len(sheet.row_edges_mm) - 1]
    return tuple(letters if sheet.series == "ISO" else reversed(letters))


def zone_at(sheet: SheetFormat, x_mm: float, y_mm: float) -> str:
    """The zone of a point, letter first ("B4"); a point outside the frame belongs to the zone nearest to it."""
    column = bisect_right(sheet.column_edges_mm[1:-1], x_mm)
    row = bisect_right(sheet.row_edges_mm[1:-1], y_mm)
    return row_names(sheet)[row] + column_names(sheet)[column]


def zone_box(sheet: SheetFormat, zone: str) -> Box:
    """The box (mm) of a zone. ValueError if the sheet has no such zone."""
    row, column = row_names(sheet).index(zone[:1]), column_names(sheet).index(zone[1:])
    (x0, x1), (y0, y1) = list(pairwise(sheet.column_edges_mm))[column], list(pairwise(sheet.row_edges_mm))[row]
    return (x0, y0, x1, y1)


def _up(value_mm: float) -> float:
    return math.ceil(value_mm / MODULE_MM - 1e-9) * MODULE_MM


def _down(value_mm: float) -> float:
    return math.floor(value_mm / MODULE_MM + 1e-9) * MODULE_MM


@lru_cache(maxsize=1)
def _formats() -> dict[str, SheetFormat]:
    text = (files("engine.data") / "sheet_sizes.csv").read_text(encoding="utf-8")
    return {row["name"]: _format(row) for row in csv.DictReader(text.splitlines())}


def _format(row: dict[str, str]) -> SheetFormat:
    """The zones follow from the frame; msgspec turns the cells, which are texts, into numbers."""
    width, height = float(row["width_mm"]), float(row["height_mm"])
    right, foot = width - float(row["right_mm"]), height - float(row["bottom_mm"])
    edges = _pitched if row["series"] == "ISO" else _divided
    columns = edges(float(row["left_mm"]), right, width / 2, int(row["columns"]))
    rows = edges(float(row["top_mm"]), foot, height / 2, int(row["rows"]))
    return msgspec.convert({**row, "column_edges_mm": columns, "row_edges_mm": rows}, SheetFormat, strict=False)


def _pitched(start: float, end: float, centre: float, count: int) -> tuple[float, ...]:
    """ISO: fields of 50 mm counted from the centre line of the sheet; what is left goes to the outer fields."""
    inner = (centre + ZONE_PITCH_MM * step for step in range(1 - count // 2, count // 2))
    return (start, *inner, end)


def _divided(start: float, end: float, centre: float, count: int) -> tuple[float, ...]:
    """ANSI: equal fields, also counted from the centre line, so that a filing margin shifts only the outer ones."""
    pitch = (end - start) / count
    return (start, *(centre + pitch * step for step in range(1 - count // 2, count // 2)), end)
