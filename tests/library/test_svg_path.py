"""SVG path strings against SVG 1.1 (chapter 8 and appendix F.6) and against geometry."""

from __future__ import annotations

import math

import pytest

from engine.library.svg_path import PathError, extent, parse_path


def test_lines_absolute_and_relative_draw_the_same() -> None:
    absolute = parse_path("M -2 0 H 2 V 1 L 0 3 Z")
    assert absolute == parse_path("m-2,0h4v1l-2,2z")
    assert absolute == (("M", (-2, 0)), ("L", (2, 0)), ("L", (2, 1)), ("L", (0, 3)), ("Z", ()))


def test_numbers_after_a_move_are_lines() -> None:
    assert parse_path("M0 0 1 0 1 1") == (("M", (0, 0)), ("L", (1, 0)), ("L", (1, 1)))


def test_after_closing_the_pen_is_at_the_start() -> None:
    assert parse_path("M 1 1 h 1 v 1 z l 0 5")[-1] == ("L", (1, 6))


def test_a_quadratic_passes_through_its_middle() -> None:
    _, (verb, numbers) = parse_path("M 0 0 Q 1 2 2 0")
    xs, ys = (0.0, *numbers[0::2]), (0.0, *numbers[1::2])
    weights = (1 / 8, 3 / 8, 3 / 8, 1 / 8)
    assert verb == "C"
    assert sum(w * x for w, x in zip(weights, xs, strict=True)) == pytest.approx(1.0)
    assert sum(w * y for w, y in zip(weights, ys, strict=True)) == pytest.approx(1.0)


@pytest.mark.parametrize(("large", "sweep", "box"), [
    (0, 1, (-1, -1, 1, 0)), (0, 0, (-1, 0, 1, 1)), (1, 1, (-1, -1, 1, 0)), (1, 0, (-1, 0, 1, 1)),
])  # fmt: skip
def test_half_circles_go_round_the_side_the_flags_say(large: int, sweep: int, box: tuple[float, ...]) -> None:
    assert extent(parse_path(f"M -1 0 A 1 1 0 {large} {sweep} 1 0")) == pytest.approx(box, abs=2e-3)


def test_the_flags_choose_among_the_four_arcs() -> None:
    """A quarter of a unit circle from (1, 0) to (0, 1), the short way about (0, 0) or the long way about (1, 1)."""
    assert extent(parse_path("M 1 0 A 1 1 0 0 1 0 1")) == pytest.approx((0, 0, 1, 1), abs=2e-3)
    assert extent(parse_path("M 1 0 A 1 1 0 1 1 0 1")) == pytest.approx((0, 0, 2, 2), abs=2e-3)
    assert extent(parse_path("M 1 0 A 1 1 0 1 0 0 1")) == pytest.approx((-1, -1, 1, 1), abs=2e-3)


def test_an_arc_stays_on_its_circle() -> None:
    for verb, numbers in parse_path("M 2 0 A 2 2 0 1 1 0 -2"):
        assert verb in ("M", "C")
        assert math.hypot(*numbers[-2:]) == pytest.approx(2.0)


def test_an_ellipse_has_its_two_radii_and_its_tilt() -> None:
    assert extent(parse_path("M -3 0 A 3 1 0 0 1 3 0 A 3 1 0 0 1 -3 0 Z")) == pytest.approx((-3, -1, 3, 1), abs=1e-2)
    assert extent(parse_path("M 0 -3 A 3 1 90 0 1 0 3 A 3 1 90 0 1 0 -3 Z")) == pytest.approx((-1, -3, 1, 3), abs=1e-2)


def test_radii_too_small_grow_until_they_reach() -> None:
    assert extent(parse_path("M -2 0 A 1 1 0 0 1 2 0")) == pytest.approx((-2, -2, 2, 0), abs=1e-2)


@pytest.mark.parametrize(("text", "what"), [
    ("", "empty"), ("L 1 1", "begins with M"), ("1 1 L 2 2", "number"), ("M 1", "2 numbers"), ("M 0 0 X 1", "X 1"),
    ("M 0 0 Z 3", "0 numbers"), ("M 0 0 C 1 1 2 2", "6 numbers"), ("M 0 0 T 1 1", "T 1 1"), ("M 0 0 L 1 1 %", "%"),
])  # fmt: skip
def test_what_is_no_path_is_refused_with_the_place(text: str, what: str) -> None:
    with pytest.raises(PathError, match=what):
        parse_path(text)
