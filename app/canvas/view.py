"""The window's pane on a sheet: paints it, and turns events into pointers for the tool in hand.

Knows no edit: tools make edits. Arrow keys, Tab and Enter are turned into moves by `keyboard`, the wheel and the middle
button by `navigation`, what is dropped from Stores by `drops`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import msgspec
from PySide6.QtCore import QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.canvas.bench import Bench, Draws
from app.canvas.camera import Box, Camera, fitting, revealing
from app.canvas.drops import DropTarget
from app.canvas.furniture import Furniture
from app.canvas.hit import hit
from app.canvas.keyboard import Keyboard
from app.canvas.layer import Layer
from app.canvas.navigation import Navigation
from app.canvas.pointer import Pointer
from app.canvas.tools.connecting import ConnectTool
from app.canvas.tools.placing import PlaceTool
from app.canvas.tools.selecting import SelectTool
from app.canvas.tools.standing import StandTool
from app.canvas.tools.tool import Tool
from app.selection import Selection
from app.store import Store
from engine.drawing.annotate import Annotation
from engine.drawing.theme import LIGHT_WINDOW, PAPER, Theme
from engine.library.device import DeviceKind
from engine.messages import tr
from engine.model.edits.records import part_of

REACH_PX = 7.0
"""How near the cursor must come to a port or a run."""

PORT_REACH_MM = 1.1
"""How near to a port at most when no run is in hand, so that a bus can be taken hold of between its studs."""


class View(QWidget):
    """One sheet of a drawing, to look at and to work on."""

    status = Signal(str)
    activated = Signal(str)
    """Key of what was double-clicked, or Enter was pressed on."""

    context_menu_requested = Signal(str, QPoint)
    """Key ("" on the bare sheet) and the point on the screen."""

    camera_changed = Signal(object)
    tool_changed = Signal(str)
    """"select", "connect" or "place"."""

    def __init__(
        self, store: Store, selection: Selection, library: Mapping[str, DeviceKind], draughtsman: Draws, sheet_id: str
    ) -> None:
        super().__init__()
        self.bench = Bench(store, selection, library, draughtsman, sheet_id)
        self.camera = Camera()
        self.tool: Tool = SelectTool(self.bench)
        self.keyboard = Keyboard(self)
        self._navigation, self._drops = Navigation(self), DropTarget(self)
        self._fits = True
        self.set_themes(PAPER, LIGHT_WINDOW)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName(tr("Sheet"))
        self.setAccessibleDescription(tr("The drawing. Tab goes from part to part, arrow keys move the selection."))
        self.bench.redrawn.connect(self.update)
        selection.changed.connect(lambda _keys: self.update())

    def set_themes(self, sheet: Theme, window: Theme) -> None:
        """Colours of the sheet and of the desk round it."""
        self._layer, self._furniture = Layer(sheet, window), Furniture(sheet)
        self.update()

    def show_grid(self, shown: bool) -> None:
        """Shows or hides the module."""
        self._layer.show_grid(shown)
        self.update()

    def annotate(self, annotation: Annotation | None) -> None:
        """Shows what a check adds to the sheet: marks of findings, paths, what is live."""
        self.bench.annotate(annotation)

    def show_sheet(self, sheet_id: str) -> None:
        """Another sheet, whole."""
        self.take(SelectTool(self.bench))
        self.bench.show_sheet(sheet_id)
        self.fit()

    def take(self, tool: Tool) -> None:
        """Takes a tool in hand; what the old one had begun is given up."""
        self.tool = tool
        self.bench.preview(None)
        self.keyboard.end()
        names = {ConnectTool: "connect", PlaceTool: "place", StandTool: "place"}
        self.tool_changed.emit(names.get(type(tool), "select"))
        self.tell()

    def select(self) -> None:
        """Takes the select tool."""
        self.take(SelectTool(self.bench))

    def connect_ports(self) -> None:
        """Takes the connect tool."""
        self.take(ConnectTool(self.bench))
        self.keyboard.begin()

    def place(self, kind_id: str) -> None:
        """Takes a new part of this kind in hand."""
        self.take(PlaceTool(self.bench, self.bench.library[kind_id], self.select))
        self.keyboard.begin()

    def place_again(self, part_id: str) -> None:
        """Takes a part of the boat in hand, for one more sheet. Refuses none: the click says what is wrong."""
        self.take(StandTool(self.bench, part_of(self.bench.document, part_id), self.select))
        self.keyboard.begin()

    def set_camera(self, camera: Camera, fits: bool = False) -> None:
        """Looks elsewhere; with `fits`, a new size of the window fits the sheet again."""
        self._fits = fits
        if camera != self.camera:
            self.camera = camera
            self.camera_changed.emit(camera)
            self.update()

    def fit(self) -> None:
        """Shows the whole sheet."""
        page = self.bench.drawing.page
        self.set_camera(fitting((0, 0, page.width_mm, page.height_mm), self.width(), self.height()), fits=True)

    def zoom(self, factor: float) -> None:
        """Larger or smaller about the middle of the window."""
        self.set_camera(self.camera.zoomed(factor, self.width() / 2, self.height() / 2))

    def look_at(self, box: Box) -> None:
        """Pushes the sheet so that this box (mm) is seen."""
        camera = revealing(self.camera, box, self.width(), self.height())
        self.set_camera(camera, self._fits and camera == self.camera)

    def pointer(
        self, x_px: float, y_px: float, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> Pointer:
        """What a tool hears of a pixel."""
        x, y = self.camera.to_mm(x_px, y_px)
        reach = REACH_PX / self.camera.scale
        shift = bool(modifiers & Qt.KeyboardModifier.ShiftModifier)
        ctrl = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
        port_mm = math.inf if isinstance(self.tool, ConnectTool) else PORT_REACH_MM
        return Pointer(x, y, hit(self.bench.drawing, x, y, reach, port_mm), shift, ctrl, reach)

    def tell(self) -> None:
        """Says what the next click will do, and shows the tool's marks."""
        self.status.emit(self.tool.status())
        self.update()

    def event(self, event: QEvent) -> bool:
        """Hands mouse and keyboard to the tool; Tab does not leave the sheet."""
        handled = False
        if isinstance(event, QMouseEvent):
            handled = self._mouse(event)
        elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            handled = self.keyboard.press(event)
        elif isinstance(event, QContextMenuEvent):
            at = event.pos()
            self.context_menu_requested.emit(self.pointer(at.x(), at.y()).hit.key, event.globalPos())
            handled = True
        return handled or super().event(event)

    def _mouse(self, event: QMouseEvent) -> bool:
        at = self.pointer(event.position().x(), event.position().y(), event.modifiers())
        left = event.button() == Qt.MouseButton.LeftButton
        match event.type():
            case QEvent.Type.MouseMove:
                self.keyboard.end()
                self.tool.move(at)
            case QEvent.Type.MouseButtonPress if left:
                self.setFocus(Qt.FocusReason.MouseFocusReason)
                self.tool.press(at)
            case QEvent.Type.MouseButtonRelease if left:
                self.tool.release(at)
            case QEvent.Type.MouseButtonDblClick if left and at.hit.key:
                self.activated.emit(at.hit.key)
            case _:
                return False
        self.tell()
        return True

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """The sheet as a picture, the furniture over it."""
        drawing, (page, moving) = self.bench.shown, self.bench.parted
        ratio = self.devicePixelRatioF()
        picture = self._layer.picture(page, self.camera, self.size(), ratio)
        painter = QPainter(self)
        painter.drawPixmap(0, 0, picture)
        if moving:
            self._layer.paint_over(painter, moving, self.size())
        marks = msgspec.structs.replace(self.tool.marks(), redlined=self.bench.redlined)
        marks = self.keyboard.with_crosshair(marks)
        self._furniture.paint(painter, self.camera, drawing, self.bench.selection.keys, marks)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Keeps the whole sheet in view where it was."""
        if self._fits:
            self.fit()
