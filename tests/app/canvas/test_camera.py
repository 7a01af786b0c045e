"""Where the camera looks."""

import pytest

from app.canvas.camera import LEAST, MOST, Camera, fitting, revealing


def test_pixels_and_millimetres_are_each_others_inverse() -> None:
    camera = Camera(3.7, 12, -40)
    assert camera.to_px(*camera.to_mm(101, 55)) == pytest.approx((101, 55))


def test_zooming_keeps_the_point_under_the_cursor() -> None:
    camera = Camera(3.0, 100, 50)
    under = camera.to_mm(400, 300)
    assert camera.zoomed(1.7, 400, 300).to_px(*under) == pytest.approx((400, 300), abs=0.51)


def test_zoom_has_its_limits() -> None:
    assert Camera().zoomed(1e9, 0, 0).scale == MOST
    assert Camera().zoomed(1e-9, 0, 0).scale == LEAST


def test_a_fitted_sheet_is_seen_whole_and_in_the_middle() -> None:
    camera = fitting((0, 0, 420, 297), 1000, 700)
    left, top = camera.to_px(0, 0)
    right, bottom = camera.to_px(420, 297)
    assert left >= 23
    assert top >= 23
    assert right <= 977
    assert bottom <= 677
    assert left == pytest.approx(1000 - right, abs=1.5)


def test_revealing_pushes_no_further_than_needed() -> None:
    camera = Camera(2.0, 0, 0)
    assert revealing(camera, (50, 50, 60, 60), 400, 300) is camera
    assert revealing(camera, (190, 50, 220, 60), 400, 300) == Camera(2.0, -72, 0)
    assert revealing(camera, (-20, 50, -10, 60), 400, 300) == Camera(2.0, 72, 0)
    wide = revealing(camera, (0, 0, 1000, 10), 400, 300)
    assert wide.to_px(500, 0)[0] == 200
