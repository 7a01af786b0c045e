"""The time-current chart: scales, bands through the standards' points, looks that read in grey, nothing on another."""

from __future__ import annotations

import math

import pytest

from engine.drawing.bounds import item_box, texts
from engine.drawing.curve_chart import LOOKS, curve_chart, range_text, start_text
from engine.drawing.display import Group, Item, Page, Path
from engine.drawing.hatching import Shape, hatched
from engine.drawing.log_field import LEAST_S, MOST_S, Field, frame, ground, round_above, round_below
from engine.electrics.time_current import band
from engine.studies.curves import Chart, Conductor, Curve, Start, charts
from tests.papers.page_checks import overlaps
from tests.studies.test_selectivity import boat_with

FIELD = Field(20, 10, 120, 70, 10, 1000)


def chart_with(*curves: Curve, least_a: float = 50, most_a: float = 900, start: Start | None = None) -> Chart:
    return Chart((), curves, None, start, least_a, most_a)


def curve(name: str, series: str, rating: float) -> Curve:
    limits = band(series, rating)
    return Curve(name, limits.title, (limits,))


def paths(items: tuple[Item, ...]) -> list[Path]:
    found: list[Path] = []
    for item in items:
        found += paths(item.items) if isinstance(item, Group) else [item] if isinstance(item, Path) else []
    return found


def words(items: tuple[Item, ...]) -> str:
    return " ".join(text.string for text in texts(items))


def test_decades_are_equally_wide_and_high() -> None:
    assert FIELD.x_mm(10) == 20
    assert FIELD.x_mm(100) == pytest.approx(80)
    assert FIELD.x_mm(1000) == pytest.approx(140)
    assert FIELD.y_mm(1.0) - FIELD.y_mm(10.0) == pytest.approx(10)
    assert FIELD.y_mm(MOST_S) == pytest.approx(10)
    assert FIELD.y_mm(LEAST_S / 100) == FIELD.foot_mm
    assert FIELD.current_a(FIELD.x_mm(37)) == pytest.approx(37)


def test_a_decade_has_nine_lines() -> None:
    upright = [
        item for item in ground(FIELD) if isinstance(item, Path) and item.outline[0][1][0] == item.outline[1][1][0]
    ]
    assert len(upright) == 2 * 9 - 1  # those of the two sides are the frame's


@pytest.mark.parametrize(("value", "below", "above"), [(7.5, 5, 10), (10, 10, 10), (0.3, 0.2, 0.5), (2100, 2000, 5000)])
def test_round_ends(value: float, below: float, above: float) -> None:
    assert round_below(value) == pytest.approx(below)
    assert round_above(value) == pytest.approx(above)


def test_the_numbers_at_the_axes_keep_apart() -> None:
    for most in (50, 400, 1e4, 2e5):
        field = Field(20, 10, 120, 70, 1, most)
        assert overlaps(Page(170, 100, tuple(frame(field)))) == []


def test_a_band_goes_through_the_points_of_its_standard() -> None:
    """ISO 8820-3 (from memory): 10 A at 35 A: 0.04 to 0.5 s. Both edges have a corner there."""
    items = curve_chart(chart_with(curve("F1 (10 A)", "blade", 10)), 170, 88)
    sides = next(
        path.outline for path in paths(items) if path.pen and path.pen.width_mm == 0.3 and len(path.outline) == 5
    )
    (left, top), (right, foot) = sides[0][1], sides[2][1]
    field = Field(left, top, right - left, foot - top, 5, 2000)
    corners = [values for path in paths(items) if path.pen == LOOKS[0].outline for _, values in path.outline if values]
    for seconds in (0.04, 0.5):
        wanted = (field.x_mm(35), field.y_mm(seconds))
        assert min(math.dist(wanted, corner) for corner in corners) < 0.01


def test_nothing_lies_on_another_and_nothing_outside() -> None:
    start = Start("M1", 4, 18, 1.0, True)
    five = [curve(f"F{n} ({rating} A)", "blade", rating) for n, rating in enumerate((10, 10, 15, 20), 1)]
    items = curve_chart(chart_with(*five, start=start), 166, 88)
    assert overlaps(Page(166, 88, items)) == []
    for item in items:
        box = item_box(item)
        assert box[0] >= -0.3
        assert box[1] >= -0.3
        assert box[2] <= 166.3
        assert box[3] <= 88.3


def test_devices_are_told_apart_without_colour() -> None:
    """Each look has a hatching of its own angle."""
    assert len({look.angle_deg for look in LOOKS}) == len(LOOKS)
    items = curve_chart(chart_with(curve("F1", "blade", 10), curve("F2", "blade", 30)), 166, 88)
    pens = {path.pen for path in paths(items) if path.pen}
    assert {LOOKS[0].hatch, LOOKS[1].hatch} <= pens


def test_a_class_without_limits_is_named_and_alone_gives_no_chart() -> None:
    unknown = Curve("F9 (200 A)", "no time limits known for its class", ())
    assert curve_chart(chart_with(unknown), 166, 88) == ()
    said = words(curve_chart(chart_with(curve("F1 (10 A)", "blade", 10), unknown), 166, 88))
    assert "no time limits are known for their class: F9 (200 A)" in said


def test_what_is_not_known_is_said() -> None:
    chart = chart_with(curve("F1 (10 A)", "blade", 10), least_a=0, most_a=math.inf)
    assert "smallest not known, largest not known" in range_text(chart)
    assert "smallest not known" in words(curve_chart(chart, 166, 88))
    assert "the drawing does not say (common practice, no source)" in start_text(Start("M1", 4, 18, 1.0, True))
    assert "taken" not in start_text(Start("M1", 4, 18, 3.0, False))


def test_the_line_of_the_conductor_falls_with_the_square() -> None:
    """k²S²: from 5 s down, two decades of time for one of current."""
    boat = boat_with("fuse_bolt 300/300 A series=SF51", 'fuse_blade 10/30 A series="medium blade"')
    chart = next(each for each in charts(boat) if each.curves[0].name.startswith("F2"))
    assert isinstance(chart.conductor, Conductor)
    assert chart.conductor.least.seconds(chart.conductor.least.most_a(5)) == pytest.approx(5)
    said = words(curve_chart(chart, 166, 88))
    assert "2.5 mm² at the limit of its insulation" in said


def test_hatching_stays_inside() -> None:
    shape = Shape(((0, 10), (10, 0), (20, 10)), ((0, 10), (10, 20), (20, 10)))
    for angle in (0, 45, -45, 90):
        strokes = list(hatched(shape, angle, 2))
        assert strokes
        for x0, y0, x1, y1 in strokes:
            for x, y in ((x0, y0), (x1, y1), ((x0 + x1) / 2, (y0 + y1) / 2)):
                assert abs(x - 10) + abs(y - 10) <= 10 + 1e-6


def test_an_empty_area_is_not_hatched() -> None:
    assert list(hatched(Shape((), ()), 45, 2)) == []
    assert list(hatched(Shape(((0, 0),), ((0, 5),)), 45, 2)) == []
