"""The situation in which the boat is looked at: condition, switches set by hand, a device that is out, what the sheet shows.

One for each window. It asks the analyst's thread for a Standing and holds the last one; panels and the sheet follow its
signals. Knows no widget.
"""

from __future__ import annotations

from functools import partial

import msgspec
from PySide6.QtCore import QObject, Signal

from app.analyst import Analyst
from app.standing import Shown, Standing, annotation_of, stand
from engine.drawing.annotate import Annotation
from engine.graph.boat import Boat
from engine.graph.live import WEATHER, can_open
from engine.studies.setting import Setting, settled, stoppable


class Situation(QObject):
    """`changed`: another setting, open device or boat. `told`: another Standing, or another view of it."""

    changed = Signal()
    told = Signal()

    def __init__(self, analyst: Analyst, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.analyst = analyst
        self.setting, self.opened = Setting(), ""
        self.view: Shown = "nothing"
        self.only = ""
        self.boat: Boat | None = None
        self.standing: Standing | None = None
        self.watched = False
        """Whether somebody looks at what comes of it, though the sheet does not show it."""

    def show_boat(self, boat: Boat) -> None:
        """Another boat, or the boat after an edit: what was set by hand stays while the parts are there."""
        self.boat = boat
        self.opened = self.opened if self.opened and can_open(boat, self.opened) else ""
        self.only = self.only if self.only in boat.parts else ""
        self.set(self.setting)

    def set(self, setting: Setting) -> None:
        """Take a setting, and have it worked out."""
        self.setting = settled(self.boat, setting) if self.boat is not None else setting
        self.changed.emit()
        self.ask()

    def choose(self, base: str) -> None:
        """Take a condition; what was set by hand goes."""
        if base != self.setting.base or self.setting.by_hand:
            self.set(Setting(base, starting=self.setting.starting))

    def take_base(self, base: str) -> None:
        """A condition that the boat has from the next analysis on, and that says what is set now."""
        self.setting = msgspec.structs.replace(self.setting, base=base)
        self.changed.emit()

    def set_switch(self, key: str, state: str) -> None:
        """Put a switch (part id), or a way (part id/key), into a position."""
        self.set(msgspec.structs.replace(self.setting, switches={**self.setting.switches, key: state}))

    def set_source(self, part_id: str, works: bool) -> None:
        """Plug in, start, stop or unplug a source."""
        self.set(msgspec.structs.replace(self.setting, sources={**self.setting.sources, part_id: works}))

    def start(self, part_id: str) -> None:
        """A motor starts just now; "" none does."""
        self.set(msgspec.structs.replace(self.setting, starting=part_id))

    def all_off(self) -> None:
        """Every switch as drawn, engines stopped, nothing plugged in; sun and wind go on. The sheet shows what is live."""
        if self.boat is not None:
            off = {part.id: False for part in stoppable(self.boat) if part.kind not in WEATHER}
            self.opened = ""
            self.set(Setting("drawn", {}, off))
            self.look("live")

    def open(self, key: str) -> None:
        """A device opens ("part:p3", "position:p4/12"); "" none is out. The sheet shows what goes dead."""
        self.opened = key if self.boat is not None and can_open(self.boat, key) else ""
        self.changed.emit()
        self.ask()
        if self.opened:
            self.look("live")

    def look(self, view: Shown, only: str | None = None) -> None:
        """What the sheet shows, and from which one source; None leaves that as it is."""
        self.view, self.only = view, self.only if only is None else only
        self.changed.emit()
        self.told.emit()
        self.ask()

    def ask(self) -> None:
        """Have it worked out, where anybody looks and it is not there yet."""
        boat = self.boat
        if boat is not None and (self.watched or self.view != "nothing") and not self._is_current(self.standing):
            self.analyst.study(partial(stand, boat, self.setting, self.opened), self.take)

    def watch(self, watched: bool) -> None:
        """Somebody looks at what comes of it from now on, or nobody does."""
        self.watched = watched
        self.ask()

    def take(self, standing: object) -> None:
        """What has been worked out, where it is still what is asked."""
        if isinstance(standing, Standing) and self._is_current(standing):
            self.standing = standing
            self.told.emit()

    def _is_current(self, standing: Standing | None) -> bool:
        if standing is None or standing.boat is not self.boat or standing.setting != self.setting:
            return False
        return (standing.opened.key if standing.opened else "") == self.opened

    @property
    def current(self) -> Standing | None:
        """The Standing, where it is that of the boat and the setting as they are."""
        return self.standing if self._is_current(self.standing) else None

    @property
    def annotation(self) -> Annotation | None:
        """What the sheet shows; None where it shows the findings. The last one stays until the next is worked out."""
        if self.view == "nothing" or self.standing is None:
            return None
        return annotation_of(self.standing, self.view, self.only)
