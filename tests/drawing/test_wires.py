"""How a run is drawn: width by its size, colours side by side, hops where it crosses."""

from __future__ import annotations

import pytest

from engine.drawing.display import Path
from engine.drawing.outline import bounds
from engine.drawing.wires import core_strokes, find_hops, way_outline, wire_class, wire_items, wire_style
from engine.model.network import End, Run


def run(poles: tuple[str, ...], colours: tuple[str, ...], size: str = "14 AWG") -> Run:
    return Run(id="w1", a=End(part="a", port="a"), b=End(part="b", port="a"), poles=poles, colours=colours, size=size)


@pytest.mark.parametrize(
    ("size", "name"),
    [
        ("2/0 AWG", "heavy"), ("2 AWG", "heavy"), ("35 mm2", "heavy"), ("4 AWG", "feeder"), ("10 mm2", "feeder"),
        ("10 AWG", "branch"), ("1.5 mm2", "branch"), ("18 AWG", "signal"), ("0.75 mm2", "signal"), ("", "unknown"),
        ("thick", "unknown"),
    ],
)  # fmt: skip
def test_classes_by_size(size: str, name: str) -> None:
    assert wire_class(size) == name


def test_battery_cables_are_the_widest() -> None:
    widths = [wire_style(run(("+",), ("RD",), size)).width_mm for size in ("18 AWG", "14 AWG", "6 AWG", "2/0 AWG")]
    assert widths == sorted(widths)
    assert len(set(widths)) == 4


def test_the_cores_lie_side_by_side_in_a_dark_casing() -> None:
    items = wire_items(wire_style(run(("+", "-"), ("RD", "YE"))), ((0.0, 0.0), (10.0, 0.0)), {})
    casing, red, yellow = items
    assert isinstance(casing, Path)
    assert isinstance(red, Path)
    assert isinstance(yellow, Path)
    assert [item.pen.colour for item in (casing, red, yellow) if item.pen] == ["casing", "wire.RD", "wire.YE"]
    assert bounds(red.outline)[1] < 0 < bounds(yellow.outline)[1]


def test_a_striped_core_shows_its_stripe() -> None:
    items = wire_items(wire_style(run(("PE",), ("GNYE",))), ((0.0, 0.0), (10.0, 0.0)), {})
    pens = [item.pen for item in items if isinstance(item, Path) and item.pen]
    assert [pen.colour for pen in pens] == ["casing", "wire.GN", "wire.YE"]
    assert pens[-1].dash_mm


def test_unknown_colours_give_one_dark_line() -> None:
    assert wire_style(run(("+", "-"), ("RD", ""))).cores == ()
    assert wire_style(run(("+",), ())).cores == ()


def test_the_level_run_hops_and_the_upright_one_does_not() -> None:
    paths = {"level": ((0.0, 50.0), (100.0, 50.0)), "upright": ((40.0, 0.0), (40.0, 90.0))}
    assert find_hops(paths) == {"level": {0: (40.0,)}, "upright": {}}


def test_runs_that_meet_at_an_end_do_not_hop() -> None:
    paths = {"level": ((0.0, 50.0), (40.0, 50.0)), "upright": ((40.0, 0.0), (40.0, 90.0))}
    assert find_hops(paths)["level"] == {}


@pytest.mark.parametrize("points", [((0.0, 50.0), (100.0, 50.0)), ((100.0, 50.0), (0.0, 50.0))])
def test_a_hop_bows_upwards_whichever_way_the_run_goes(points: tuple[tuple[float, float], ...]) -> None:
    box = bounds(way_outline(points, {0: (40.0, 60.0)}))
    assert box[1] == pytest.approx(48.9, abs=0.01)
    assert box[3] == pytest.approx(50.0)


def test_three_conductors_are_counted_by_strokes() -> None:
    found = core_strokes(((0.0, 0.0), (40.0, 0.0)), 3)
    assert found is not None
    assert len(found[0]) == 3
    assert core_strokes(((0.0, 0.0), (5.0, 0.0)), 3) is None
