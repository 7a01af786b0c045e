"""How the program looks: colours, letters and the style sheet, light and dark. Knows no boat and no window.

The colours are those of engine/drawing/theme.py, under names that say what the window uses them for. Each pair of text
and ground has a contrast of at least 4.5:1 (tests/app/test_style.py).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec
from PySide6.QtCore import QPointF, Qt, QTemporaryDir
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPalette, QPen
from PySide6.QtWidgets import QApplication

from app.stylesheet import SHEET
from engine.drawing.metrics import FAMILY
from engine.drawing.theme import DARK as DARK_SHEET
from engine.drawing.theme import DARK_WINDOW, LIGHT_WINDOW, PAPER
from engine.drawing.theme import Theme as Drawn

BASE_POINTS = 10.5


class Theme(msgspec.Struct, frozen=True, kw_only=True):
    """One set of colours. Names say what a colour is for."""

    name: str
    desk: str
    """Behind the sheet."""
    frame: str
    """Menu bar, strips, tab bars, status line."""
    card: str
    """Panels and dialogs."""
    field: str
    """Where one types, and tables."""
    stripe: str
    """Every second row of a table."""
    ink: str
    soft: str
    """Secondary text."""
    faint: str
    """Text of what cannot be used now."""
    rule: str
    """Thin lines between things."""
    edge: str
    """Border of fields and buttons."""
    accent: str
    on_accent: str
    chosen: str
    """Ground of a chosen row."""
    hover: str
    focus: str
    """Frame of what has the keyboard."""
    danger: str
    requirement: str
    advice: str
    unknown: str
    note: str
    """Ground of the bar that says what, where and what to do."""


def _theme(window: Drawn, sheet: Drawn) -> Theme:
    """The window's colours and those it shares with the sheet, so that a mark in a list is the mark on the drawing."""
    w, s = window.colours, sheet.colours
    return Theme(
        name=window.name,
        desk=w["desk"],
        frame=w["window"],
        card=w["raised"],
        field=w["field"],
        stripe=w["field.alternate"],
        ink=w["text"],
        soft=w["text.faint"],
        faint=w["text.disabled"],
        rule=w["border"],
        edge=w["border.strong"],
        accent=w["accent"],
        on_accent=w["accent.text"],
        chosen=s["selection.fill"],
        hover=w["hover"],
        focus=w["focus"],
        danger=w["danger"],
        requirement=w["requirement"],
        advice=w["advice"],
        unknown=w["unknown"],
        note=s["caution.fill"],
    )


LIGHT = _theme(LIGHT_WINDOW, PAPER)
DARK = _theme(DARK_WINDOW, DARK_SHEET)
THEMES = {theme.name: theme for theme in (LIGHT, DARK)}


def ui_font(points: float = BASE_POINTS, bold: bool = False) -> QFont:
    """The family at a size for the screen."""
    font = QFont(FAMILY)
    font.setPointSizeF(points)
    font.setBold(bold)
    return font


def palette(theme: Theme) -> QPalette:
    """The theme as a palette, for what the style sheet does not reach."""
    made = QPalette()
    role = QPalette.ColorRole
    pairs = (
        (role.Window, theme.card),
        (role.WindowText, theme.ink),
        (role.Base, theme.field),
        (role.AlternateBase, theme.stripe),
        (role.Text, theme.ink),
        (role.Button, theme.frame),
        (role.ButtonText, theme.ink),
        (role.ToolTipBase, theme.field),
        (role.ToolTipText, theme.ink),
        (role.PlaceholderText, theme.soft),
        (role.Highlight, theme.chosen),
        (role.HighlightedText, theme.ink),
        (role.Link, theme.accent),
        (role.Mid, theme.rule),
    )
    for which, colour in pairs:
        made.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, QColor(theme.faint))
    return made


@cache
def _drawn_here() -> QTemporaryDir:
    """Where pictures lie that the style sheet names; gone with the program."""
    return QTemporaryDir()


TICK_PX = 12
TICK = ((2.5, 6.5), (5.0, 9.0), (9.5, 3.5))


def tick_file(theme: Theme) -> str:
    """The file with the tick of a box that is set, in the theme's colour, at twice the size for sharp screens."""
    path = Path(_drawn_here().path()) / f"tick-{theme.name}.png"
    if not path.exists():
        picture = QImage(2 * TICK_PX, 2 * TICK_PX, QImage.Format.Format_ARGB32_Premultiplied)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(2, 2)
        painter.setPen(QPen(QColor(theme.on_accent), 1.8, c=Qt.PenCapStyle.RoundCap, j=Qt.PenJoinStyle.RoundJoin))
        painter.drawPolyline([QPointF(x, y) for x, y in TICK])
        painter.end()
        picture.save(str(path))
    return path.as_posix()


def style_sheet(theme: Theme) -> str:
    """The style sheet with the theme's colours put in."""
    text = SHEET.replace("@tick", f'url("{tick_file(theme)}")')
    for name in sorted(Theme.__struct_fields__, key=len, reverse=True):
        text = text.replace(f"@{name}", getattr(theme, name))
    return text


def apply(application: QApplication, theme: Theme) -> None:
    """Dress the whole program in the theme."""
    application.setStyle("Fusion")
    application.setFont(ui_font())
    application.setPalette(palette(theme))
    application.setStyleSheet(style_sheet(theme))
