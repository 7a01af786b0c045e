"""The screen backend: widths as measured, letters at every scale, culling, level of detail and a bounded memory."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import get_args

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QGuiApplication, QImage, QPainter

from app.canvas.painter import (
    GLYPH_PX,
    LONG,
    ItemPainter,
    dash_pattern,
    font,
    glyph_run,
    letters,
    paint,
    painter_path,
    raw_font,
)
from app.letters import register_font
from engine.drawing.bounds import item_box
from engine.drawing.display import Group, Item, Path, Pen, Text, Weight
from engine.drawing.metrics import FAMILY, em_mm, font_metrics, text_width_mm
from engine.drawing.outline import bounds, circle, line, parse_path, rectangle
from engine.drawing.theme import DARK, PAPER, Theme, colour

WEIGHTS: tuple[Weight, ...] = get_args(Weight)
STRINGS = ("AVATAR To Wave Ty", "-W17  2×35 mm²  RD/BK  4.2 m", "Главный щит", "Πίνακας Ω ≤ ½ ✓", "fi ffl Ty")

pytestmark = pytest.mark.usefixtures("qapp")

Brush = Callable[[QPainter], None]


def drawn(brush: Brush, scale: float = 4.0, width_mm: float = 60, height_mm: float = 30) -> QImage:
    image = QImage(round(width_mm * scale), round(height_mm * scale), QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    with QPainter(image) as painter:  # a painter left open on a picture that goes takes the program with it
        painter.scale(scale, scale)
        brush(painter)
    return image


def drawn_items(items: Sequence[Item], scale: float = 4.0, theme: Theme = PAPER) -> QImage:
    return drawn(lambda painter: paint(painter, items, theme), scale)


def ink(image: QImage) -> float:
    """How much of the picture is dark, in pixels."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()]
    return float((255 - rows.astype(int)).sum() / 255)


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("string", STRINGS)
def test_qt_finds_the_same_width_in_the_font(string: str, weight: Weight) -> None:
    raw = raw_font(weight)
    advances = raw.advancesForGlyphIndexes(raw.glyphIndexesForString(string))
    width_mm = sum(advance.x() for advance in advances) / GLYPH_PX * em_mm(2.5, weight)
    assert text_width_mm(string, 2.5, weight) == pytest.approx(width_mm, rel=0.005)


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("string", STRINGS)
def test_an_editor_over_the_sheet_sets_the_same_width(string: str, weight: Weight) -> None:
    register_font()
    editor = font(weight, height_mm=2.5, px_per_mm=40.0)
    shown_mm = QFontMetricsF(editor).horizontalAdvance(string) / (editor.pixelSize() / em_mm(2.5, weight))
    assert text_width_mm(string, 2.5, weight) == pytest.approx(shown_mm, rel=0.005)


def test_the_family_is_known_to_qt_once_registered() -> None:
    assert set(register_font()) == {FAMILY}


@pytest.mark.parametrize("weight", WEIGHTS)
def test_a_run_has_a_glyph_for_each_character_at_its_place(weight: Weight) -> None:
    string = "Ty½Ω✓"
    run = glyph_run(Text(0, 0, string, weight=weight), raw_font(weight))
    assert len(run.glyphIndexes()) == len(string)
    assert all(run.glyphIndexes())
    expected = [text_width_mm(string[:count], 1.0, weight) / em_mm(1.0, weight) * GLYPH_PX for count in range(5)]
    assert [place.x() for place in run.positions()] == pytest.approx(expected)


def test_a_character_outside_the_font_keeps_the_places_of_the_others() -> None:
    run = glyph_run(Text(0, 0, "A\u4e2d\U0001f6a4B"), raw_font())
    assert len(run.glyphIndexes()) == len(run.positions()) == 4
    image = drawn_items((Text(5, 20, "A\u4e2d\U0001f6a4B", 5.0),))
    assert ink(image) > 0


@pytest.mark.parametrize("scale", [3.0, 5.0, 8.0, 8.3, 9.0, 12.0, 30.0])
def test_letters_are_there_at_every_scale(scale: float) -> None:
    """A case named after a fault: Qt drew nothing where letters were larger than 64 pixels."""
    covered = ink(drawn_items((Text(5, 20, "Quill 34", 5.0, weight="bold"),), scale)) / scale**2
    run = glyph_run(Text(5, 20, "Quill 34", 5.0, weight="bold"), raw_font("bold"))
    reference = ink(drawn(lambda painter: fill_letters(painter, run), 30.0)) / 30.0**2
    assert covered == pytest.approx(reference, rel=0.08)


def fill_letters(painter: QPainter, run: object) -> None:
    painter.translate(5, 20)
    painter.scale(em_mm(5.0, "bold") / GLYPH_PX, em_mm(5.0, "bold") / GLYPH_PX)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(letters(run), QColor(colour(PAPER, "ink")))  # type: ignore[arg-type]


@pytest.mark.parametrize("string", ["M0 0L10 5Z", "M0 0C1 2 3 4 5 0", "M-3 0A3 3 0 0 1 3 0"])
def test_an_outline_keeps_its_box(string: str) -> None:
    outline = parse_path(string)
    box = painter_path(Path(outline)).boundingRect()
    assert (box.left(), box.top(), box.right(), box.bottom()) == pytest.approx(bounds(outline), abs=1e-6)


def test_a_hole_stays_a_hole() -> None:
    image = drawn_items((Path((*circle(30, 15, 10), *circle(30, 15, 5)), fill="ink"),))
    assert image.pixelColor(120, 60) == QColor("white")
    assert image.pixelColor(120, 60 + 30) == QColor(colour(PAPER, "ink"))


@pytest.mark.parametrize("theme", [PAPER, DARK], ids=lambda theme: theme.name)
def test_the_theme_gives_the_colours(theme: Theme) -> None:
    image = drawn_items((Path(rectangle(0, 0, 60, 30), fill="wire.GNYE"),), theme=theme)
    assert image.pixelColor(50, 50).name() == colour(theme, "wire.GN")


def test_an_unknown_colour_is_an_error() -> None:
    with pytest.raises(KeyError):
        drawn_items((Text(1, 5, "x", colour="inkk"),))


def test_what_lies_outside_the_clip_is_left_out() -> None:
    inside, outside = Path(rectangle(5, 5, 5, 5), fill="ink"), Path(rectangle(30, 5, 5, 5), fill="ink")
    group = Group("g", (inside, Group("h", (outside,))))
    clip = QRectF(0, 0, 20, 20)
    clipped = drawn(lambda painter: ItemPainter(PAPER).paint(painter, (group,), clip))
    assert clipped == drawn_items((inside,))


def test_a_straight_line_is_not_lost_for_having_no_area() -> None:
    clip = QRectF(0, 0, 60, 30)
    item = Path(line(5, 5, 50, 5), Pen("ink", 0.5))
    assert ink(drawn(lambda painter: ItemPainter(PAPER).paint(painter, (item,), clip))) > 0


def test_texts_too_small_to_read_are_left_out_if_asked() -> None:
    text = Text(5, 20, "-W17", 2.5)
    shown = drawn(lambda painter: ItemPainter(PAPER).paint(painter, (text,), smallest_text_px=3), scale=1.3)
    hidden = drawn(lambda painter: ItemPainter(PAPER).paint(painter, (text,), smallest_text_px=3), scale=1.1)
    assert ink(shown) > 0
    assert ink(hidden) == 0


def test_strokes_get_no_thinner_than_asked() -> None:
    item = Path(line(5, 5, 50, 5), Pen("safety.black", 0.1))
    thin, thick = (
        ink(drawn(lambda painter, px=px: ItemPainter(PAPER).paint(painter, (item,), thinnest_px=px), scale=2))
        for px in (0.0, 1.0)
    )
    assert thick == pytest.approx(5 * thin, rel=0.1)


def test_dashes_are_in_widths_of_the_pen_and_paired() -> None:
    assert dash_pattern((2.0, 1.0), 0.5) == [4.0, 2.0]
    assert dash_pattern((2.0,), 0.5) == [4.0, 4.0]


def test_a_dashed_line_covers_its_part() -> None:
    solid, dashed = (
        ink(drawn_items((Path(line(5, 5, 55, 5), Pen("ink", 0.1, dash)),), scale=20)) for dash in ((), (1.0, 1.0))
    )
    assert dashed / solid == pytest.approx(0.55, abs=0.06)


def test_the_picture_is_the_same_the_second_time_and_after_forgetting() -> None:
    items = tuple(Text(5, 2 + 3 * row, f"-W{row}", 2.0) for row in range(9))
    keeping, forgetting = ItemPainter(PAPER), ItemPainter(PAPER, limit=3)
    first = drawn(lambda painter: keeping.paint(painter, items))
    for item_painter in (keeping, forgetting, forgetting):
        assert drawn(lambda painter, used=item_painter: used.paint(painter, items)) == first


def test_what_is_kept_is_bounded() -> None:
    item_painter = ItemPainter(PAPER, limit=50)
    for frame in range(20):
        items = tuple(Text(5, 5, f"{frame}-{number}") for number in range(30))
        drawn(lambda painter, items=items: item_painter.paint(painter, items))
    assert item_painter.kept <= 50 + 30


def test_a_list_longer_than_the_bound_is_not_made_anew_for_every_frame(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet of 5,000 parts has 120,000 items: each frame took 1.6 s instead of 22 ms."""
    item_painter, items = ItemPainter(PAPER, limit=10), tuple(Text(5, 5, str(number)) for number in range(30))
    made: list[Item] = []
    make = ItemPainter._make
    monkeypatch.setattr(ItemPainter, "_make", lambda self, item: (made.append(item), make(self, item))[1])
    for _ in range(5):
        drawn(lambda painter: item_painter.paint(painter, items))
    assert len(made) == 30


def test_a_long_list_painted_again_near_a_place_looks_the_same_and_passes_most_by(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    items = tuple(Text(10 * (at % 100), 10 * (at // 100), str(at)) for at in range(2 * LONG))
    item_painter, clip, looked = ItemPainter(PAPER), QRectF(15, 5, 25, 20), list[int]()
    draw = ItemPainter._draw
    monkeypatch.setattr(
        ItemPainter,
        "_draw",
        lambda self, painter, near, *rest: (looked.append(len(near)), draw(self, painter, near, *rest)),
    )
    first, second = (drawn(lambda painter: item_painter.paint(painter, items, clip)) for _ in range(2))
    assert first == second
    assert ink(first) > 0
    assert looked[0] == len(items) > 5 * looked[1]


def test_a_box_on_the_sheet_holds_the_ink_of_its_text() -> None:
    text = Text(30, 20, "Åg-W17 (Ω)", 5.0, "middle")
    x0, y0, x1, y1 = item_box(text) or (0, 0, 0, 0)
    image = drawn_items((text, Path(rectangle(x0, y0, x1 - x0, y1 - y0), fill="paper")))
    assert ink(image) / ink(drawn_items((text,))) < 0.02


def test_one_cap_height_is_what_is_drawn() -> None:
    scale = 40.0
    image = drawn_items((Text(5, 20, "H", 5.0),), scale)
    dark = [y for y in range(image.height()) if image.pixelColor(round((5 + 0.9) * scale), y).lightness() < 128]
    assert (max(dark) - min(dark) + 1) / scale == pytest.approx(5.0, abs=0.06)
    assert font_metrics().cap_height == pytest.approx(0.69, abs=0.01)


def test_qt_is_offscreen_here() -> None:
    assert QGuiApplication.platformName() == "offscreen"
