"""SVG path strings are read as an independent reader reads them; shapes and turns keep their measures."""

from __future__ import annotations

import math

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path as independent_parse
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.outline import (
    PathError,
    Transform,
    arc,
    bounds,
    circle,
    line,
    mirror,
    parse_path,
    placement,
    polyline,
    quarter_turns,
    rectangle,
    scaling,
    transformed,
    translation,
)

PATHS = (
    "M0 0 L10 0 L10 5 Z",
    "m2 3 h4 v-2 h-4 z m1 1 l5 5",
    "M-2.5,0H2.5M0-2.5V2.5",
    "M0 0 C1 2 3 4 5 0 c1 -1 2 -1 3 0",
    "M0 0 Q5 10 10 0 q2 -3 4 0",
    "M0 0 10 0 10 10",
    "M-3 0 A3 3 0 0 1 3 0 A3 3 0 0 1 -3 0 Z",
    "M0 0 a5 3 30 1 0 4 2",
    "M0 0 a5 3 30 0 1 4 2",
    "M0 0 A5 3 30 0 0 4 2",
    "M0 0 A1 1 0 0 1 10 0",
    "M.5.5l1e1-2.5E-1",
)


@pytest.mark.parametrize("string", PATHS)
def test_the_box_of_a_path_is_what_an_independent_reader_finds(string: str) -> None:
    pen = BoundsPen(None)
    independent_parse(string, pen)
    assert bounds(parse_path(string)) == pytest.approx(pen.bounds, abs=0.01)


@pytest.mark.parametrize("string", PATHS)
def test_only_the_verbs_of_the_display_list_come_out(string: str) -> None:
    outline = parse_path(string)
    assert [(verb, len(values)) for verb, values in outline if (verb, len(values)) not in VERBS] == []


VERBS = {("M", 2), ("L", 2), ("C", 6), ("Z", 0)}


@pytest.mark.parametrize("string", ["L1 1", "M1", "M0 0 X", "M0 0 Z 3 4", "M0 0 L1 two", "4 5", "M0 0 C1 2 3 4 5 L2 2"])
def test_what_cannot_be_read_is_refused(string: str) -> None:
    with pytest.raises(PathError):
        parse_path(string)


def test_after_a_close_the_pen_is_back_at_the_start() -> None:
    assert parse_path("M1 1h4v4zl-1-1")[-1] == ("L", (0.0, 0.0))


def test_an_arc_lies_on_its_circle() -> None:
    outline = parse_path("M-3 0A3 3 0 0 1 3 0")
    for verb, values in outline:
        assert math.hypot(values[-2], values[-1]) == pytest.approx(3.0), verb
    assert bounds(outline) == pytest.approx((-3, -3, 3, 0), abs=0.001)


def test_shapes_have_their_measures() -> None:
    assert bounds(circle(10, 20, 2.5)) == pytest.approx((7.5, 17.5, 12.5, 22.5))
    assert bounds(rectangle(1, 2, 30, 40)) == (1, 2, 31, 42)
    assert bounds(rectangle(1, 2, 30, 40, radius=2)) == pytest.approx((1, 2, 31, 42))
    assert bounds(arc(0, 0, 10, 0, 90)) == pytest.approx((0, 0, 10, 10))
    assert bounds(arc(0, 0, 10, 180, 90)) == pytest.approx((-10, -10, 0, 0))
    assert bounds(arc(0, 0, 10, 0, -90)) == pytest.approx((0, -10, 10, 0))
    assert bounds(line(3, 4, 1, 9)) == (1, 4, 3, 9)
    assert polyline(((0, 0), (1, 0)), closed=True)[-1] == ("Z", ())


def test_a_quarter_turn_is_clockwise_on_the_sheet_and_exact() -> None:
    right = line(0, 0, 10, 2.5)
    assert transformed(right, quarter_turns(1))[1] == ("L", (-2.5, 10.0))
    assert transformed(right, quarter_turns(2))[1] == ("L", (-10.0, -2.5))
    assert transformed(right, quarter_turns(4)) == right
    assert transformed(right, mirror())[1] == ("L", (-10.0, 2.5))


def test_a_symbol_is_mirrored_then_turned_then_moved() -> None:
    assert placement(100, 50, turns=1, mirrored=True).point(10, 0) == (100.0, 40.0)
    assert placement(100, 50).point(10, 0) == (110, 50)


@given(st.integers(-8, 8), st.booleans(), st.floats(-500, 500), st.floats(-500, 500))
def test_placing_keeps_sizes(turns: int, mirrored: bool, x_mm: float, y_mm: float) -> None:
    x0, y0, x1, y1 = bounds(transformed(rectangle(-3, -1, 10, 5), placement(x_mm, y_mm, turns, mirrored)))
    expected = (5, 10) if turns % 2 else (10, 5)
    assert (x1 - x0, y1 - y0) == pytest.approx(expected)


def test_one_transform_then_another_is_both_in_turn() -> None:
    one, two = Transform(1, 2, 3, 4, 5, 6), scaling(2, 3).then(translation(7, 8))
    assert one.then(two).point(1.5, -2) == pytest.approx(two.point(*one.point(1.5, -2)))
