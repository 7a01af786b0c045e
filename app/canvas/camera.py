"""Which part of the sheet is seen, and how large: millimetres to pixels and back. A frozen value; knows no widget."""

from __future__ import annotations

import msgspec

Box = tuple[float, float, float, float]
Point = tuple[float, float]

LEAST, MOST = 0.4, 60.0
"""Pixels to the millimetre: an A1 sheet in a small window, a module as large as a thumb."""


class Camera(msgspec.Struct, frozen=True):
    """`scale` in pixels to the millimetre; (x, y) the pixel where the sheet's top left corner is."""

    scale: float = 3.0
    x_px: float = 0.0
    y_px: float = 0.0

    def to_mm(self, x_px: float, y_px: float) -> Point:
        """The point of the sheet under a pixel."""
        return (x_px - self.x_px) / self.scale, (y_px - self.y_px) / self.scale

    def to_px(self, x_mm: float, y_mm: float) -> Point:
        """The pixel over a point of the sheet."""
        return x_mm * self.scale + self.x_px, y_mm * self.scale + self.y_px

    def zoomed(self, factor: float, x_px: float, y_px: float) -> Camera:
        """Larger or smaller by the factor, with the point under this pixel staying where it is."""
        scale = min(max(self.scale * factor, LEAST), MOST)
        x_mm, y_mm = self.to_mm(x_px, y_px)
        return Camera(scale, round(x_px - x_mm * scale), round(y_px - y_mm * scale))

    def panned(self, dx_px: float, dy_px: float) -> Camera:
        """The sheet pushed by whole pixels, so that what is painted can be pushed along."""
        return Camera(self.scale, self.x_px + round(dx_px), self.y_px + round(dy_px))


def fitting(box: Box, width_px: float, height_px: float, margin_px: float = 24.0) -> Camera:
    """The camera that shows the whole box (mm), in the middle, as large as it goes."""
    left, top, right, bottom = box
    across = (width_px - 2 * margin_px) / max(right - left, 1.0)
    down = (height_px - 2 * margin_px) / max(bottom - top, 1.0)
    scale = min(max(min(across, down), LEAST), MOST)
    x = width_px / 2 - (left + right) / 2 * scale
    y = height_px / 2 - (top + bottom) / 2 * scale
    return Camera(scale, round(x), round(y))


def revealing(camera: Camera, box: Box, width_px: float, height_px: float, margin_px: float = 32.0) -> Camera:
    """The camera pushed no further than needed for the box to be seen."""
    left, top = camera.to_px(box[0], box[1])
    right, bottom = camera.to_px(box[2], box[3])
    dx = _push(left, right, width_px, margin_px)
    dy = _push(top, bottom, height_px, margin_px)
    return camera.panned(dx, dy) if dx or dy else camera


def _push(low: float, high: float, size: float, margin: float) -> float:
    if high - low > size - 2 * margin:
        return size / 2 - (low + high) / 2
    return max(0.0, margin - low) - max(0.0, high - (size - margin))
