"""PySide6 6.12.0 on Python 3.11 loses a reference to None at nearly every void call, and kills any painting program."""

import sys

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

ROUNDS = 3000


@pytest.mark.usefixtures("qapp")
def test_void_calls_leave_the_references_to_none_alone() -> None:
    image = QImage(8, 8, QImage.Format.Format_RGB32)
    image.fill(0)
    with QPainter(image) as painter:
        before = sys.getrefcount(None)
        for _ in range(ROUNDS):
            painter.save()
            painter.translate(1.0, 0.0)
            painter.drawPoint(QPointF(1.0, 1.0))
            painter.restore()
        lost = before - sys.getrefcount(None)
    assert lost < ROUNDS // 10, "this PySide6 loses references to None; pin another version (see pyproject.toml)"
