"""How the program looks: colours, letters and the style sheet, light and dark. Knows no boat and no window.

The colours come from the drawing office: paper and card for surfaces, blue-black ink, one petrol accent for what is
chosen, brass for where the keyboard is. Each pair of text and ground here has a contrast of at least 4.5:1
(tests/app/test_style.py).
"""

from __future__ import annotations

from importlib.resources import files

import msgspec
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from app.stylesheet import SHEET

FAMILY = "Loomwright Sans"
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


LIGHT = Theme(
    name="light",
    desk="#c3cccb",
    frame="#e4e6df",
    card="#f1f1ea",
    field="#fdfdf9",
    stripe="#f5f6f0",
    ink="#16242c",
    soft="#4a5b63",
    faint="#8b969a",
    rule="#cfd2c8",
    edge="#a9b0aa",
    accent="#1c5a70",
    on_accent="#ffffff",
    chosen="#cfe2e6",
    hover="#dbe3df",
    focus="#8a5a12",
    danger="#b01f24",
    requirement="#93500a",
    advice="#1d5c96",
    unknown="#5a5470",
    note="#f6e7c4",
)

DARK = Theme(
    name="dark",
    desk="#0e1518",
    frame="#172126",
    card="#1d282d",
    field="#131c20",
    stripe="#18232a",
    ink="#e3e8e4",
    soft="#a5b4b6",
    faint="#6a797d",
    rule="#2d3b41",
    edge="#4a5b62",
    accent="#7cc0d2",
    on_accent="#0c1a20",
    chosen="#254b59",
    hover="#27363c",
    focus="#d9a648",
    danger="#ff8a80",
    requirement="#f0b050",
    advice="#86bdf2",
    unknown="#bdb4da",
    note="#43391f",
)

THEMES = {theme.name: theme for theme in (LIGHT, DARK)}


def use_fonts() -> None:
    """Register the bundled family, both weights; once per program."""
    folder = files("symbols") / "fonts"
    for weight in ("Regular", "Bold"):
        QFontDatabase.addApplicationFontFromData((folder / f"LoomwrightSans-{weight}.ttf").read_bytes())


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


def style_sheet(theme: Theme) -> str:
    """The style sheet with the theme's colours put in."""
    text = SHEET
    for name in sorted(Theme.__struct_fields__, key=len, reverse=True):
        text = text.replace(f"@{name}", getattr(theme, name))
    return text


def apply(application: QApplication, theme: Theme) -> None:
    """Dress the whole program in the theme."""
    application.setStyle("Fusion")
    application.setFont(ui_font())
    application.setPalette(palette(theme))
    application.setStyleSheet(style_sheet(theme))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.1, "contrast ratio")."""
    first, second = sorted((_luminance(QColor(one)), _luminance(QColor(other))), reverse=True)
    return (first + 0.05) / (second + 0.05)


def _luminance(colour: QColor) -> float:
    linear = (_linear(channel) for channel in (colour.redF(), colour.greenF(), colour.blueF()))
    return sum(weight * channel for weight, channel in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
