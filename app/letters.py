"""The bundled family, made known to Qt. Loaded for the first window: knows nothing of drawing."""

from __future__ import annotations

from typing import get_args

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFontDatabase

from engine.drawing.display import Weight
from engine.drawing.metrics import font_bytes


def register_font() -> tuple[str, ...]:
    """Make the bundled family known to Qt (once for each program); the families that Qt then knows by it."""
    numbers = [QFontDatabase.addApplicationFontFromData(QByteArray(font_bytes(weight))) for weight in get_args(Weight)]
    return tuple(family for number in numbers for family in QFontDatabase.applicationFontFamilies(number))
