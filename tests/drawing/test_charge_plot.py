"""The figure of a bank's charge: curves as the study has them, names apart from each other, nothing outside."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.bounds import item_box, texts
from engine.drawing.charge_plot import PITCH_MM, Field, charge_plot, spread
from engine.drawing.display import Group, Item, Page, Path
from engine.studies.energy import BankDay, energy
from tests.papers.page_checks import overlaps
from tests.rules.cases import boat_of

WIDTH, HEIGHT = 180.0, 62.0
BOAT = """
boat "Anchored" rules=iso fuel=diesel engine=inboard
G1 battery "House" chemistry={chemistry} nominal_v=12 capacity_ah={ah}
E1 lamp "Lamp" running_a={amps}
1: G1.pos - E1.supply + 2.5 mm2 1 m
2: G1.neg - E1.neg - 2.5 mm2 1 m
condition one "At anchor" E1=1
"""


def day(amps: str, ah: str = "100", chemistry: str = "flooded") -> BankDay:
    of = boat_of(BOAT.format(amps=amps, ah=ah, chemistry=chemistry))
    (found,) = energy(of, of.network.conditions[0])
    return found


def paths(items: tuple[Item, ...], colour: str) -> list[Path]:
    (figure,) = items
    assert isinstance(figure, Group)
    return [item for item in figure.items if isinstance(item, Path) and item.pen and item.pen.colour == colour]


def test_the_middle_line_is_the_trace() -> None:
    found, field = day("1"), Field(WIDTH, HEIGHT)
    (line,) = paths(charge_plot(found, WIDTH, HEIGHT), "accent")
    points = [values for _, values in line.outline]
    assert len(points) == 73
    for number, hour in enumerate(found.trace("middle"), 1):
        assert points[number] == (pytest.approx(field.x_mm(number)), pytest.approx(field.y_mm(hour.charge)))


def test_bounds_are_a_band_with_three_lines_that_differ_without_colour() -> None:
    lines = paths(charge_plot(day("1..2"), WIDTH, HEIGHT), "accent")
    assert len({(line.pen.width_mm, line.pen.dash_mm) for line in lines if line.pen}) == 3


@pytest.mark.parametrize(("amps", "ah", "chemistry"), [
    ("1", "100", "flooded"), ("0.01", "100", "AGM"), ("1..2", "100", "flooded"), ("40..60", "90..100", "gel"), ("0", "100", "AGM"),
    ("1", "100", "?"), ("0.69..0.71", "100", "flooded"), ("?", "100", "AGM"),
])  # fmt: skip
def test_names_stand_apart_and_inside(amps: str, ah: str, chemistry: str) -> None:
    items = charge_plot(day(amps, ah, chemistry), WIDTH, HEIGHT)
    assert not overlaps(Page(WIDTH, HEIGHT, items))
    for text in texts(items):
        box = item_box(text)
        assert box is not None
        assert box[0] >= 0
        assert box[1] >= 0
        assert box[2] <= WIDTH
        assert box[3] <= HEIGHT


def test_a_bank_of_unknown_size_has_no_figure() -> None:
    assert charge_plot(day("1", ah="?"), WIDTH, HEIGHT) == ()


@given(st.lists(st.floats(0, 50), max_size=5).map(sorted))
def test_spread_keeps_the_pitch_and_the_bounds(wanted: list[float]) -> None:
    found = spread(wanted, PITCH_MM, 0.0, 50.0)
    assert all(later - before >= PITCH_MM - 1e-9 for before, later in pairwise(found))
    assert all(-1e-9 <= at <= 50 + 1e-9 for at in found)
