"""Sheets have the sizes and zones of their standards, and a drawing area that keeps clear of frame and title block."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.bounds import overlap
from engine.drawing.sheets import (
    MODULE_MM,
    SheetFormat,
    column_names,
    drawing_area,
    drawing_space,
    foot_area,
    row_names,
    sheet_format,
    sheet_names,
    title_box,
    zone_at,
    zone_box,
)

INCH_MM = 25.4
FORMATS = [sheet_format(name) for name in sheet_names()]
every_format = pytest.mark.parametrize("sheet", FORMATS, ids=sheet_names())


def test_trimmed_sizes() -> None:
    """ISO 216 sizes (published); ASME Y14.1 A to D in inches (from memory)."""
    sizes = {sheet.name: (sheet.width_mm, sheet.height_mm) for sheet in FORMATS}
    iso = {"A4": (210, 297), "A3": (420, 297), "A2": (594, 420), "A1": (841, 594)}
    inches = {"letter": (8.5, 11), "tabloid": (17, 11), "C": (22, 17), "D": (34, 22)}
    ansi = {name: (width * INCH_MM, height * INCH_MM) for name, (width, height) in inches.items()}
    assert {name: pytest.approx(size) for name, size in (iso | ansi).items()} == sizes


@pytest.mark.parametrize(
    ("name", "width_mm", "height_mm"), [("A4", 180, 277), ("A3", 390, 277), ("A2", 564, 400), ("A1", 811, 574)]
)
def test_drawing_spaces_of_iso_5457(name: str, width_mm: float, height_mm: float) -> None:
    """ISO 5457:1999, drawing space (from memory)."""
    x0, y0, x1, y1 = drawing_space(sheet_format(name))
    assert (x1 - x0, y1 - y0) == (width_mm, height_mm)
    assert (x0, y0) == (20, 10)


@every_format
def test_zones_cover_the_frame_without_gaps(sheet: SheetFormat) -> None:
    x0, y0, x1, y1 = drawing_space(sheet)
    assert (sheet.column_edges_mm[0], sheet.column_edges_mm[-1]) == (x0, pytest.approx(x1))
    assert (sheet.row_edges_mm[0], sheet.row_edges_mm[-1]) == (y0, pytest.approx(y1))
    assert all(a < b for edges in (sheet.column_edges_mm, sheet.row_edges_mm) for a, b in pairwise(edges))
    assert not {"I", "O"} & set(row_names(sheet))


@pytest.mark.parametrize("name", ["A4", "A3", "A2", "A1"])
def test_iso_fields_are_50_mm_from_the_centre_lines(name: str) -> None:
    sheet = sheet_format(name)
    for edges, length in ((sheet.column_edges_mm, sheet.width_mm), (sheet.row_edges_mm, sheet.height_mm)):
        assert length / 2 in edges
        assert {b - a for a, b in pairwise(edges[1:-1])} == {50.0}
        assert all(b - a < 75 for a, b in (edges[:2], edges[-2:]))


def test_zones_are_named_from_the_top_left_on_iso_and_from_the_lower_right_on_ansi() -> None:
    assert zone_at(sheet_format("A3"), 21, 11) == "A1"
    assert zone_at(sheet_format("A3"), 200, 100) == "C4"
    assert zone_at(sheet_format("A3"), 409, 286) == "F8"
    assert zone_at(sheet_format("tabloid"), 20, 12) == "B4"
    assert zone_at(sheet_format("tabloid"), 415, 265) == "A1"


def test_a_point_off_the_frame_belongs_to_the_nearest_zone() -> None:
    assert zone_at(sheet_format("A3"), -5, 500) == "F1"


@every_format
def test_a_zone_is_found_again_from_its_middle(sheet: SheetFormat) -> None:
    for zone in (row + column for row in row_names(sheet) for column in column_names(sheet)):
        x0, y0, x1, y1 = zone_box(sheet, zone)
        assert zone_at(sheet, (x0 + x1) / 2, (y0 + y1) / 2) == zone


@given(st.sampled_from(FORMATS), st.floats(0, 1), st.floats(0, 1))
def test_every_point_in_the_frame_lies_in_its_zone(sheet: SheetFormat, across: float, down: float) -> None:
    x0, y0, x1, y1 = drawing_space(sheet)
    x_mm, y_mm = x0 + across * (x1 - x0), y0 + down * (y1 - y0)
    box = zone_box(sheet, zone_at(sheet, x_mm, y_mm))
    assert box[0] - 1e-6 <= x_mm <= box[2] + 1e-6
    assert box[1] - 1e-6 <= y_mm <= box[3] + 1e-6


@every_format
def test_the_drawing_keeps_clear_of_frame_and_title_block(sheet: SheetFormat) -> None:
    area, space = drawing_area(sheet), drawing_space(sheet)
    assert not overlap(area, title_box(sheet), clearance_mm=4.9)
    assert area[0] - space[0] >= 4.9
    assert space[2] - area[2] >= 4.9
    assert all(value % MODULE_MM == 0 for value in area)
    assert area[2] - area[0] > 150


@every_format
def test_the_ground_beside_the_title_block_is_free(sheet: SheetFormat) -> None:
    foot = foot_area(sheet)
    if foot is None:
        assert sheet.width_mm < sheet.height_mm
        return
    assert not overlap(foot, title_box(sheet), clearance_mm=4.9)
    assert not overlap(foot, drawing_area(sheet))


def test_the_title_block_is_180_mm_wide_and_takes_the_whole_foot_of_an_a4() -> None:
    """ISO 7200:2004, total width (from memory)."""
    assert title_box(sheet_format("A3"))[2] - title_box(sheet_format("A3"))[0] == 180
    assert title_box(sheet_format("A4"))[::2] == drawing_space(sheet_format("A4"))[::2]


def test_an_unknown_format_is_an_error() -> None:
    with pytest.raises(KeyError):
        sheet_format("A9")
