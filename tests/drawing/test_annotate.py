"""Marks and shown paths: placed on free ground, with a leader where they stand off."""

from __future__ import annotations

import pytest

from engine.drawing.annotate import SEVERITIES, Mark, Severity, mark_items, place_marks, shown_path
from engine.drawing.bounds import items_box, overlap
from engine.drawing.display import Path
from engine.drawing.labels import Ground
from engine.drawing.outline import line

BOX = (100.0, 100.0, 110.0, 105.0)


def _verbs(severity: Severity) -> tuple[str, ...]:
    paths = [item for item in mark_items(severity, 0.0, 0.0) if isinstance(item, Path)]
    return tuple(verb for path in paths for verb, _ in path.outline)


def test_the_four_marks_are_four_shapes() -> None:
    shapes = {_verbs(severity) for severity in SEVERITIES}
    assert len(shapes) == 4


@pytest.mark.parametrize("severity", SEVERITIES)
def test_a_mark_is_as_large_as_it_says(severity: Severity) -> None:
    box = items_box(mark_items(severity, 50.0, 50.0, 4.0))
    assert box is not None
    assert 47.4 < box[0] < box[2] < 52.6
    assert 47.4 < box[1] < box[3] < 52.6


def test_a_mark_stands_beside_its_part() -> None:
    ground = Ground()
    ground.take(BOX)
    (mark,) = place_marks((Mark("part:p1", "danger", 7),), {"part:p1": BOX}, {}, ground)
    box = items_box(mark.items)
    assert box is not None
    assert not overlap(box, BOX)
    assert box[0] - BOX[2] < 3.0


def test_a_mark_that_has_to_stand_off_gets_a_leader() -> None:
    ground = Ground()
    ground.take((80.0, 80.0, 130.0, 125.0))
    (mark,) = place_marks((Mark("part:p1", "danger", 7),), {"part:p1": BOX}, {}, ground)
    leader = mark.items[0]
    assert isinstance(leader, Path)
    assert (
        leader.outline[-1][1] in {(110.0, 100.0), (100.0, 100.0), (110.0, 105.0), (100.0, 105.0)}
        or len(leader.outline) == 2
    )


def test_two_marks_of_one_part_do_not_cover_each_other() -> None:
    marks = (Mark("part:p1", "danger", 1), Mark("part:p1", "advice", 2))
    one, two = place_marks(marks, {"part:p1": BOX}, {}, Ground())
    boxes = items_box(one.items), items_box(two.items)
    assert boxes[0] is not None
    assert boxes[1] is not None
    assert not overlap(boxes[0], boxes[1])


def test_a_mark_of_something_that_is_not_on_the_sheet_is_not_drawn() -> None:
    assert list(place_marks((Mark("part:p9", "danger", 1),), {}, {}, Ground())) == []


def test_a_shown_path_goes_under_its_runs_and_round_its_parts() -> None:
    drawn = list(shown_path(("run:w1", "part:p1", "run:w9"), {"w1": (line(0, 0, 50, 0), 0.7)}, {"part:p1": BOX}))
    assert len(drawn) == 4
    assert all(isinstance(item, Path) and item.pen and item.pen.width_mm > 0.7 for item in drawn)
