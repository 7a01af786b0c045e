"""Hands that do anything at all on a sheet: nothing may fail, and the document hangs together after every event."""

from __future__ import annotations

import random

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from engine.model.invariants import problems
from tests.app.canvas.stage import CTRL, LEFT, NONE, SHIFT, Point, Stage
from tests.model.boats import library, port_names

EVENTS = 50
KEYS = (
    *(Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_J, Qt.Key.Key_R),
    *(Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_M, Qt.Key.Key_X),
)


def somewhere(stage: Stage, dice: random.Random) -> Point:
    """Often on a port, a part or a run, sometimes just anywhere."""
    drawing = stage.view.bench.drawing
    spots = [(spot.x_mm, spot.y_mm) for spot in drawing.ports.values()]
    spots += [((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) for box in drawing.boxes.values()]
    spots += [point for path in drawing.paths.values() for point in path]
    if spots and dice.random() < 0.75:
        return dice.choice(spots)
    return dice.uniform(-20, 440), dice.uniform(-20, 320)


def do_anything(stage: Stage, dice: random.Random) -> None:
    at, held = somewhere(stage, dice), dice.choice((NONE, NONE, NONE, SHIFT, CTRL))
    match dice.randint(0, 11):
        case 0:
            stage.view.connect_ports()
        case 1:
            stage.view.place(dice.choice(("load_dc", "fuse_bolt", "bus_positive")))
        case 2:
            stage.view.select()
        case 3 | 4:
            stage.type(dice.choice(KEYS), held=held if held != CTRL else NONE)
        case 5:
            stage.drag(at, somewhere(stage, dice), somewhere(stage, dice), keys=held)
        case 6:
            stage.press(at, held)
        case 7:
            QTest.mouseRelease(stage.view, LEFT, held, stage.px(at))
        case 8:
            dice.choice((stage.store.undo, stage.store.redo))()
        case 9:
            stage.view.set_camera(stage.view.camera.zoomed(dice.choice((0.7, 1.4)), *at))
            stage.view.grab()
        case _:
            stage.click(at, held)


@pytest.mark.parametrize("seed", [0, 3])
def test_anything_at_all_leaves_the_document_sound(stage: Stage, seed: int) -> None:
    dice, changes = random.Random(seed), 0

    def count() -> None:
        nonlocal changes
        changes += 1

    stage.store.changed.connect(count)
    for _ in range(EVENTS):
        do_anything(stage, dice)
        assert problems(stage.document, port_names) == ()
    assert changes > 3
    assert {part.kind for part in stage.document.network.parts} <= set(library())
