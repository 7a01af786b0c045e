"""A sheet of 5,000 parts, the sample's own laid side by side: repaint against a plain scene, and the worst of 200 frames.

python -m tests.bench.full_sheet
"""

from __future__ import annotations

import math
import os
import sys
import time
from collections.abc import Callable, Iterator

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QBrush, QColor, QFont, QImage, QPainter, QPen, Qt
from PySide6.QtWidgets import QApplication, QGraphicsScene

from app.canvas.camera import Camera
from app.canvas.layer import LEGIBLE_PX, THINNEST_PX, Layer
from app.canvas.painter import ItemPainter, painter_path
from app.letters import register_font
from engine.drawing.bounds import moved
from engine.drawing.display import Group, Item, Page, Path, Text
from engine.drawing.metrics import FAMILY
from engine.drawing.theme import LIGHT_WINDOW, PAPER, colour
from tests.bench.rounds import line, minima

PARTS, FRAMES = 5000, 200
VIEW = QSize(1600, 1000)
READING = 3.7
"""Pixels to the millimetre: life size on a screen of 94 dots to the inch."""


def tiled(page: Page, parts: int) -> Page:
    """The page beside and below itself until so many parts stand on it; keys stay different."""
    here = sum(isinstance(item, Group) and item.key.startswith("part:") for item in page.items)
    count = math.ceil(parts / here)
    side = math.ceil(math.sqrt(count))
    items: list[Item] = []
    for number in range(count):
        x, y = number % side * page.width_mm, number // side * page.height_mm
        items += [_renamed(moved(item, x, y), number) for item in page.items]
    return Page(side * page.width_mm, math.ceil(count / side) * page.height_mm, tuple(items))


def _renamed(item: Item, number: int) -> Item:
    return Group(f"{item.key}.{number}", item.items) if isinstance(item, Group) else item


def plain_scene(page: Page) -> QGraphicsScene:
    """Every path and text of the page as an item of Qt's own scene, found by its index."""
    scene = QGraphicsScene(0, 0, page.width_mm, page.height_mm)
    for item in _flat(page.items):
        if isinstance(item, Path):
            pen = (
                QPen(QColor(colour(PAPER, item.pen.colour)), item.pen.width_mm) if item.pen else QPen(Qt.PenStyle.NoPen)
            )
            brush = QBrush(QColor(colour(PAPER, item.fill))) if item.fill else QBrush()
            scene.addPath(painter_path(item), pen, brush)
        elif isinstance(item, Text):
            font = QFont(FAMILY)
            font.setPixelSize(10)
            added = scene.addSimpleText(item.string, font)
            added.setScale(item.height_mm / 7)
            added.setPos(item.x_mm, item.y_mm - item.height_mm)
    return scene


def _flat(items: tuple[Item, ...]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Group):
            yield from _flat(item.items)
        else:
            yield item


def rows(page: Page) -> None:
    """Print the three rows for a page of PARTS parts made of this one."""
    sheet = tiled(page, PARTS)
    scene, painter = plain_scene(sheet), ItemPainter(PAPER)
    image = QImage(VIEW, QImage.Format.Format_ARGB32_Premultiplied)
    whole = min(VIEW.width() / sheet.width_mm, VIEW.height() / sheet.height_mm)
    for name, scale, floor, goal in (("at reading scale", READING, "1x", "2x"), ("whole in view", whole, "3x", "6x")):
        seen = QRectF(0, 0, VIEW.width() / scale, VIEW.height() / scale)

        def ours(scale: float = scale, seen: QRectF = seen) -> None:
            with QPainter(image) as device:
                device.scale(scale, scale)
                painter.paint(device, sheet.items, seen, smallest_text_px=LEGIBLE_PX, thinnest_px=THINNEST_PX)

        def theirs(seen: QRectF = seen) -> None:
            with QPainter(image) as device:
                device.setRenderHint(QPainter.RenderHint.Antialiasing)
                scene.render(device, QRectF(image.rect()), seen)

        mine, scenes = minima(ours, theirs)
        print(line(f"full repaint {name}, {PARTS} parts, against a plain scene", mine, scenes,
                   f"{scenes / mine:.1f}x", f"{floor} faster", goal))  # fmt: skip
    _worst(sheet)


def _worst(sheet: Page) -> None:
    """Pans, zooms and drags in turn, as the view paints them; the route that a drag leads is not in it."""
    layer, camera, times = Layer(PAPER, LIGHT_WINDOW), Camera(READING, 0, 0), []
    screen = QImage(VIEW, QImage.Format.Format_RGB32)
    hand = [item for item in sheet.items if isinstance(item, Group)][:5]
    still = Page(sheet.width_mm, sheet.height_mm, tuple(item for item in sheet.items if item not in hand))
    layer.picture(still, camera, VIEW, 1.0)
    for number in range(FRAMES):
        kind = number % 3
        if kind == 0:
            camera = camera.panned(-16, -8)
        elif kind == 1:
            camera = camera.zoomed(1.1 if number % 2 else 1 / 1.1, 800, 500)
        in_hand = [moved(item, number * 0.25, 0) for item in hand]
        times.append(
            (_timed(lambda camera=camera, in_hand=in_hand: _frame(layer, screen, still, camera, in_hand)), kind)
        )
    for kind, name in enumerate(("pan", "zoom", "drag")):
        of_kind = sorted(seconds for seconds, one in times if one == kind)
        print(f"    worst {name} of {len(of_kind)}: {1e3 * of_kind[-1]:.1f} ms, middle {1e3 * of_kind[len(of_kind) // 2]:.1f} ms"
              "   floor 16 ms   goal 8 ms")  # fmt: skip


def _frame(layer: Layer, screen: QImage, still: Page, camera: Camera, in_hand: list[Item]) -> None:
    with QPainter(screen) as device:
        device.drawPixmap(0, 0, layer.picture(still, camera, VIEW, 1.0))
        layer.paint_over(device, in_hand, VIEW)


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> int:
    """Print the rows for the sample's first sheet."""
    from engine.drawing.sheet import Draughtsman
    from engine.files.opening import open_boat
    from engine.library.device import load_library
    from engine.library.symbol import load_symbols
    from tests.bench.drawing import SAMPLE

    application = QApplication.instance() or QApplication([])
    register_font()
    library = load_library()
    rows(Draughtsman(library, load_symbols()).draw(open_boat(SAMPLE, library), "s1").page)
    application.quit()
    return 0


if __name__ == "__main__":
    sys.exit(main())
