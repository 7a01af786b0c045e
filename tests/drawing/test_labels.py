"""Placing texts: above the run if it can be, shorter where there is less room, never on anything."""

from __future__ import annotations

from engine.drawing.bounds import overlap
from engine.drawing.labels import Ground, place_along, place_part_tag, place_run_tags
from engine.drawing.metrics import text_box
from engine.drawing.ports import ShapePin
from engine.drawing.shapes import PartShape, TagLine

FORMS = ("12 · 14 AWG · RD/YE · 17.1 ft", "12 · 14 AWG · RD/YE", "12 · 14 AWG", "12")
LEVEL = ((50.0, 50.0), (120.0, 50.0))


def fuse() -> PartShape:
    pins = (ShapePin("a", -5.0, 0.0, ("left",)), ShapePin("b", 5.0, 0.0, ("right",)))
    return PartShape((-5.0, -2.5, 5.0, 2.5), pins, ())


def lines() -> tuple[TagLine, ...]:
    return TagLine("F1", 2.5, "bold"), TagLine("Windlass"), TagLine("100 A", 2.0)


def test_a_tag_stands_over_its_run_at_full_length() -> None:
    tag = place_along(LEVEL, 0.7, FORMS, Ground())
    assert tag is not None
    assert tag.string == FORMS[0]
    assert text_box(tag)[3] < 50.0 - 0.35


def test_a_short_run_gets_a_shorter_tag() -> None:
    tag = place_along(((50.0, 50.0), (58.0, 50.0)), 0.7, FORMS, Ground())
    assert tag is not None
    assert tag.string == "12"


def test_without_room_nothing_is_written() -> None:
    assert place_along(((50.0, 50.0), (52.5, 50.0)), 0.7, FORMS, Ground()) is None


def test_a_tag_goes_under_the_run_when_the_ground_above_is_taken() -> None:
    ground = Ground()
    ground.take((40.0, 40.0, 130.0, 49.0))
    tag = place_along(LEVEL, 0.7, FORMS, ground)
    assert tag is not None
    assert text_box(tag)[1] > 50.35


def test_an_upright_run_is_read_from_the_right() -> None:
    tag = place_along(((50.0, 50.0), (50.0, 120.0)), 0.7, FORMS, Ground())
    assert tag is not None
    assert tag.angle_deg == 90
    assert text_box(tag)[2] < 50.0 - 0.35


def test_a_long_run_is_tagged_at_both_ends_far_apart() -> None:
    tags = place_run_tags(((50.0, 50.0), (300.0, 50.0)), 0.7, FORMS, Ground())
    assert len(tags) == 2
    assert tags[1].x_mm - tags[0].x_mm > 150.0
    assert len(place_run_tags(((50.0, 50.0), (200.0, 50.0)), 0.7, FORMS, Ground())) == 1


def test_a_device_in_a_level_run_has_its_designation_above_and_its_data_below() -> None:
    above, name, data = place_part_tag(fuse(), 100.0, 100.0, lines(), Ground())
    assert above.y_mm < 97.5
    assert name.y_mm > 102.5
    assert data.y_mm > name.y_mm


def test_a_tag_moves_away_from_what_is_there() -> None:
    ground = Ground()
    ground.take((90.0, 80.0, 110.0, 97.4))
    for text in place_part_tag(fuse(), 100.0, 100.0, lines(), ground):
        assert not overlap(text_box(text), (90.0, 80.0, 110.0, 97.4))


def test_the_same_ground_gives_the_same_place() -> None:
    assert place_along(LEVEL, 0.7, FORMS, Ground()) == place_along(LEVEL, 0.7, FORMS, Ground())


def test_free_spots_are_as_low_as_they_can_be_and_free() -> None:
    ground = Ground()
    ground.take((0.0, 60.0, 40.0, 100.0))
    spot = ground.free_spot((0.0, 0.0, 100.0, 100.0), 50.0, 30.0)
    assert spot == (42.5, 70.0)
    assert ground.free_spot((0.0, 0.0, 100.0, 100.0), 101.0, 10.0) is None
