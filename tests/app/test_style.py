"""Colours and signs: each pair of text and ground reads at 4.5 : 1 (WCAG 2.1, success criterion 1.4.3)."""

from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QCheckBox
from pytestqt.qtbot import QtBot

from app.icons import PATHS, drawn
from app.style import DARK, LIGHT, THEMES, Theme, style_sheet
from engine.drawing.theme import contrast

TEXTS = ("ink", "soft", "danger", "requirement", "advice", "unknown", "accent")
GROUNDS = ("frame", "card", "field", "stripe")


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_texts_read_on_their_grounds(theme: Theme, text: str, ground: str) -> None:
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize(
    ("text", "ground"), [("ink", "chosen"), ("ink", "hover"), ("ink", "note"), ("on_accent", "accent")]
)
def test_texts_read_on_what_is_marked(theme: Theme, text: str, ground: str) -> None:
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_the_keyboards_frame_is_seen(theme: Theme) -> None:
    """3 : 1 for what is not text (WCAG 2.1, success criterion 1.4.11)."""
    assert min(contrast(theme.focus, theme.field), contrast(theme.focus, theme.card)) >= 3.0


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_no_name_is_left_in_the_style_sheet(theme: Theme) -> None:
    assert not re.findall(r"@\w+", style_sheet(theme))


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("name", sorted(PATHS))
def test_every_sign_is_drawn_within_its_field(name: str) -> None:
    image = drawn(name, "#000000", 40).toImage()
    inked = [(x, y) for x in range(40) for y in range(40) if image.pixelColor(x, y).alpha() > 40]
    assert len(inked) > 20
    assert all(0 < x < 39 and 0 < y < 39 for x, y in inked), "touches the edge of its field"


@pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES)
def test_a_box_that_is_set_shows_a_tick(theme: Theme, qtbot: QtBot) -> None:
    box = QCheckBox()
    qtbot.addWidget(box)
    box.setStyleSheet(style_sheet(theme))
    box.setChecked(True)
    picture = box.grab().toImage()
    seen = {QColor(picture.pixel(x, y)).name() for x in range(16) for y in range(picture.height())}
    assert {theme.accent, theme.on_accent} <= seen
