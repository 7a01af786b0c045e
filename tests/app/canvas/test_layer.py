"""The painted sheet: what is painted anew, and that a pushed or patched picture is the picture painted at once."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QImage

from app.canvas.camera import Camera
from app.canvas.layer import Layer, changed_boxes
from engine.drawing.display import Group, Page, Path, Pen, Text
from engine.drawing.outline import rectangle
from engine.drawing.theme import LIGHT_WINDOW, PAPER

SIZE = QSize(400, 300)


def box(x: float, y: float, colour: str = "ink") -> Path:
    return Path(rectangle(x, y, 10, 6), Pen(colour, 0.25))


def page(*groups: Group) -> Page:
    return Page(120, 90, groups)


ONE, TWO = Group("part:p1", (box(10, 10), Text(12, 14, "F1"))), Group("part:p2", (box(50, 40),))
MOVED = Group("part:p1", (box(15, 10), Text(17, 14, "F1")))


def painted(*views: tuple[Page, Camera], ratio: float = 1.0) -> QImage:
    layer = Layer(PAPER, LIGHT_WINDOW)
    for seen, camera in views:
        picture = layer.picture(seen, camera, SIZE, ratio)
    return picture.toImage()


def test_the_same_items_are_no_change() -> None:
    assert changed_boxes((ONE, TWO), (ONE, TWO)) == []
    assert changed_boxes((ONE, TWO), (TWO, ONE)) == []
    assert changed_boxes((ONE,), (Group("part:p1", ONE.items),)) == []


def test_a_moved_part_changes_where_it_was_and_where_it_is() -> None:
    boxes = changed_boxes((ONE, TWO), (MOVED, TWO))
    assert min(left for left, *_ in boxes) <= 10
    assert max(right for _, _, right, _ in boxes) >= 25
    assert max(bottom for *_, bottom in boxes) < 40


def test_what_comes_and_goes_is_a_change() -> None:
    assert len(changed_boxes((ONE,), (ONE, TWO))) == 1
    assert len(changed_boxes((ONE, TWO), (TWO,))) == 1


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("ratio", [1.0, 2.0])
def test_a_patched_picture_is_the_picture_painted_at_once(ratio: float) -> None:
    camera = Camera(3.0, 20, 10)
    patched = painted((page(ONE, TWO), camera), (page(MOVED, TWO), camera), ratio=ratio)
    assert patched == painted((page(MOVED, TWO), camera), ratio=ratio)
    assert patched != painted((page(ONE, TWO), camera), ratio=ratio)


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(("dx", "dy"), [(7, 0), (-7, 0), (0, 9), (0, -9), (13, -21), (-500, 0)])
@pytest.mark.parametrize("ratio", [1.0, 2.0])
def test_a_pushed_picture_is_the_picture_painted_at_once(dx: int, dy: int, ratio: float) -> None:
    camera = Camera(3.0, 20, 10)
    seen = page(ONE, TWO)
    pushed = painted((seen, camera), (seen, camera.panned(dx, dy)), ratio=ratio)
    assert pushed == painted((seen, camera.panned(dx, dy)), ratio=ratio)


@pytest.mark.usefixtures("qapp")
def test_a_change_while_panning_is_seen() -> None:
    camera = Camera(3.0, 20, 10)
    both = painted((page(ONE, TWO), camera), (page(MOVED, TWO), camera.panned(11, 5)))
    assert both == painted((page(MOVED, TWO), camera.panned(11, 5)))
