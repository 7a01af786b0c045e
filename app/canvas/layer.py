"""The painted sheet, kept as a picture of the viewport: pushed when the view is panned, painted anew only where needed.

Paints desk, paper, grid and the display list; furniture goes over it. Knows no document and no tool.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from PySide6.QtCore import QLineF, QPoint, QPointF, QRect, QRectF, QSize, QSizeF
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QRegion

from app.canvas.camera import Camera
from app.canvas.painter import ItemPainter
from engine.drawing.bounds import item_box
from engine.drawing.display import Group, Item, Page
from engine.drawing.theme import Theme, colour
from engine.model.sheets import MODULE_MM

LEGIBLE_PX = 2.5
THINNEST_PX = 0.7
GRID_PX = 7.0
"""Lines of the grid come no closer than this."""

MANY = 12
"""More places than this are painted as one."""

EDGE_MM = 0.6
"""What a stroke may reach beyond the box of its item, with the hops and halos of others."""


class Layer:
    """A picture of what the camera sees."""

    def __init__(self, sheet_theme: Theme, window_theme: Theme) -> None:
        self._items = ItemPainter(sheet_theme)
        self._desk = QColor(colour(window_theme, "desk"))
        self._shadow = QColor(colour(window_theme, "shadow"))
        self._pixmap = QPixmap()
        self._camera = Camera()
        self._page: Page | None = None
        self._grid = True

    def show_grid(self, shown: bool) -> None:
        """Whether the module is shown under the drawing."""
        self._grid = shown
        self._pixmap = QPixmap()

    def picture(self, page: Page, camera: Camera, size: QSize, ratio: float) -> QPixmap:
        """The page as seen; `ratio` is device pixels to a pixel."""
        dirty = self._dirty(page, camera, size, ratio)
        self._page, self._camera = page, camera
        if dirty:
            self._paint(dirty)
        return self._pixmap

    def paint_over(self, painter: QPainter, items: Iterable[Item], size: QSize) -> None:
        """Items over the picture, by the camera of the picture: what is in the hand and other in every frame."""
        camera = self._camera
        painter.save()
        painter.translate(camera.x_px, camera.y_px)
        painter.scale(camera.scale, camera.scale)
        clip = self._in_mm(QRectF(QPointF(), QSizeF(size)))
        self._items.paint(painter, items, clip, smallest_text_px=LEGIBLE_PX, thinnest_px=THINNEST_PX)
        painter.restore()

    def _in_mm(self, seen: QRectF) -> QRectF:
        left, top = self._camera.to_mm(seen.left(), seen.top())
        return QRectF(left, top, seen.width() / self._camera.scale, seen.height() / self._camera.scale)

    def _dirty(self, page: Page, camera: Camera, size: QSize, ratio: float) -> list[QRect]:
        whole = QRect(QPoint(), size)
        fresh = self._pixmap.size() != size * ratio or self._pixmap.devicePixelRatio() != ratio
        if fresh:
            self._pixmap = QPixmap(size * ratio)
            self._pixmap.setDevicePixelRatio(ratio)
        old = self._page
        if fresh or old is None or _paper(old) != _paper(page) or camera.scale != self._camera.scale:
            return [whole]
        dirty = self._pushed(camera, whole, ratio)
        boxes = changed_boxes(old.items, page.items) if old is not page else []
        dirty += [_rectangle(box, camera) & whole for box in boxes]
        shown = [one for one in dirty if not one.isEmpty()]
        return [_around(shown)] if len(shown) > MANY else shown

    def _pushed(self, camera: Camera, whole: QRect, ratio: float) -> list[QRect]:
        """Pushes the picture and says what that uncovers: all of it, where it cannot go by whole device pixels."""
        dx, dy = camera.x_px - self._camera.x_px, camera.y_px - self._camera.y_px
        if dx == dy == 0:
            return []
        if (dx * ratio) % 1 or (dy * ratio) % 1 or abs(dx) >= whole.width() or abs(dy) >= whole.height():
            return [whole]
        x, y, right, foot = int(dx), int(dy), whole.width(), whole.height()
        self._pixmap.scroll(int(dx * ratio), int(dy * ratio), QRect(QPoint(), self._pixmap.size()))
        side = QRect(0, 0, x, foot) if x > 0 else QRect(right + x, 0, -x, foot)
        strip = QRect(0, 0, right, y) if y > 0 else QRect(0, foot + y, right, -y)
        return [side, strip]

    def _paint(self, dirty: list[QRect]) -> None:
        painter = QPainter(self._pixmap)
        for rectangle in dirty:
            painter.save()
            painter.setClipRect(rectangle)
            self._paint_within(painter, QRectF(rectangle))
            painter.restore()
        painter.end()

    def _paint_within(self, painter: QPainter, seen: QRectF) -> None:
        assert self._page is not None
        camera = self._camera
        painter.fillRect(seen, self._desk)
        painter.translate(camera.x_px, camera.y_px)
        painter.scale(camera.scale, camera.scale)
        paper = QRectF(0, 0, self._page.width_mm, self._page.height_mm)
        painter.fillRect(paper.translated(4 / camera.scale, 4 / camera.scale), self._shadow)
        painter.fillRect(paper, QColor(colour(self._items.theme, "paper")))
        clip = self._in_mm(seen)
        if self._grid:
            self._paint_grid(painter, clip & paper)
        self._items.paint(painter, self._page.items, clip, smallest_text_px=LEGIBLE_PX, thinnest_px=THINNEST_PX)

    def _paint_grid(self, painter: QPainter, within: QRectF) -> None:
        step = MODULE_MM
        while step * self._camera.scale < GRID_PX:
            step *= 2
        pen = QPen(QColor(colour(self._items.theme, "grid")))
        pen.setCosmetic(True)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen)
        left, top, right, bottom = within.left(), within.top(), within.right(), within.bottom()
        lines = [QLineF(x, top, x, bottom) for x in _steps(left, right, step)]
        painter.drawLines([*lines, *(QLineF(left, y, right, y) for y in _steps(top, bottom, step))])


def _steps(low: float, high: float, step: float) -> Iterator[float]:
    number = int(low // step)
    while number * step <= high:
        if number * step >= low:
            yield number * step
        number += 1


def _around(rectangles: list[QRect]) -> QRect:
    region = QRegion()
    for rectangle in rectangles:
        region += rectangle
    return region.boundingRect()


def _rectangle(box: tuple[float, float, float, float], camera: Camera) -> QRect:
    left, top = camera.to_px(box[0] - EDGE_MM, box[1] - EDGE_MM)
    right, bottom = camera.to_px(box[2] + EDGE_MM, box[3] + EDGE_MM)
    return QRectF(left, top, right - left, bottom - top).toAlignedRect()


def _paper(page: Page) -> tuple[float, float]:
    return page.width_mm, page.height_mm


def changed_boxes(before: Iterable[Item], after: Iterable[Item]) -> list[tuple[float, float, float, float]]:
    """The boxes of what is in one list and not in the other; what merely stands elsewhere in the list is the same.

    Items that are the same objects cost nothing; a group with the same key is looked into.
    """
    old, new = list(before), list(after)
    if len(old) == len(new) and all(a is b for a, b in zip(old, new, strict=True)):
        return []
    kept = {id(item) for item in old} & {id(item) for item in new}
    gone = [item for item in old if id(item) not in kept]
    come = [item for item in new if id(item) not in kept]
    boxes = []
    groups = {item.key: item for item in gone if isinstance(item, Group)}
    for item in come:
        twin = groups.pop(item.key, None) if isinstance(item, Group) else None
        if twin is None or not isinstance(item, Group):
            boxes.append(item_box(item))
        elif twin != item:
            boxes += changed_boxes(twin.items, item.items)
    left = {id(group) for group in groups.values()}
    twins = [item for item in gone if not isinstance(item, Group) or id(item) in left]
    boxes += [item_box(item) for item in twins]
    return [box for box in boxes if box]
