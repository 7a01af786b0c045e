"""The search field: finds actions, parts, wire numbers, circuits, sheets and what can be placed; Enter goes there.

Knows the workbench. Entries are made when the search begins, so that they are never stale.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QWidget

from app.later import Later
from engine.messages import tr

if TYPE_CHECKING:
    from app.panels import fields
    from app.workbench import Workbench
else:
    fields = Later("app.panels.fields")

MOST = 12
WIDTH = 430


class Entry(msgspec.Struct, frozen=True):
    """Something that can be found: what it is called, what sort it is, and how one goes there."""

    title: str
    sort: str
    go: Callable[[], object]
    words: str = ""

    def score(self, words: list[str]) -> int:
        """How well the words fit: 0 not at all; a whole title counts most, then its beginning, then any place."""
        title, text = self.title.casefold(), f"{self.title} {self.sort} {self.words}".casefold()
        if not all(word in text for word in words):
            return 0
        joined = " ".join(words)
        starts = any(piece.startswith(joined) for piece in title.split())
        return 4 if title == joined else 3 if title.startswith(joined) else 2 if starts else 1


def entries(bench: Workbench) -> list[Entry]:
    """Everything that can be found now."""
    return [*_actions(bench), *_parts(bench), *_runs(bench), *_circuits(bench), *_sheets(bench), *_kinds(bench)]


def _actions(bench: Workbench) -> list[Entry]:
    menus = bench.window.menus
    usable = [action for action in menus.table.values() if action.id != "find" and menus.usable(action.id)]
    return [
        Entry(action.text.rstrip(" …"), _key_text(action.shortcut), partial(menus.run, action.id), tr("action"))
        for action in usable
    ]


def _key_text(shortcut: str) -> str:
    return QKeySequence(shortcut).toString(QKeySequence.SequenceFormat.NativeText)


def _parts(bench: Workbench) -> list[Entry]:
    def titled(kind_id: str) -> str:
        kind = bench.library.get(kind_id)
        return tr(kind.title) if kind else kind_id

    return [
        Entry(fields.part_name(part), titled(part.kind), bench.going(f"part:{part.id}"), part.note)
        for part in bench.store.document.network.parts
    ]


def _runs(bench: Workbench) -> list[Entry]:
    network = bench.store.document.network
    return [
        Entry(
            run.number or "?",
            tr("wire, {ends}").format(ends=fields.ends_text(run, network)),
            bench.going(f"run:{run.id}"),
            run.label,
        )
        for run in network.runs
    ]


def _circuits(bench: Workbench) -> list[Entry]:
    return [
        Entry(
            way.label,
            tr("circuit {key} of {panel}").format(key=way.key, panel=fields.part_name(part)),
            bench.going(f"position:{part.id}/{way.key}"),
        )
        for part in bench.store.document.network.parts
        for way in part.positions
        if way.label
    ]


def _sheets(bench: Workbench) -> list[Entry]:
    return [
        Entry(sheet.title or sheet.id, tr("sheet"), partial(bench.show_sheet, sheet.id))
        for sheet in bench.store.document.sheets
    ]


def _kinds(bench: Workbench) -> list[Entry]:
    return [
        Entry(tr(kind.title), tr("place from Stores"), partial(bench.take, kind.id), " ".join(kind.words))
        for kind in bench.library.values()
    ]


class Finder(QLineEdit):
    """The field in the tool strip, with its answers below it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.bench: Workbench | None = None
        self.answers = QListWidget(parent)
        self.answers.setObjectName("answers")
        self.answers.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.answers.setAccessibleName(tr("Found"))
        self.answers.itemClicked.connect(lambda _item: self._go())
        self.answers.hide()
        self._entries: list[Entry] = []
        self._back: QWidget | None = None
        self.setPlaceholderText(tr("Find action, part, wire, circuit"))
        self.setAccessibleName(tr("Find action, part, wire or circuit"))
        self.setFixedWidth(260)
        self.textEdited.connect(self.seek)
        self.installEventFilter(self)

    def begin(self) -> None:
        """Take the keyboard; Escape gives it back."""
        self._back = self.window().focusWidget()
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.selectAll()

    def seek(self, text: str) -> None:
        """Answers to what is typed, the best first."""
        if self.bench is None:
            return
        if not self._entries:
            self._entries = entries(self.bench)
        words = text.casefold().split()
        scored = [(entry.score(words), entry) for entry in self._entries] if words else []
        best = sorted((pair for pair in scored if pair[0]), key=lambda pair: -pair[0])[:MOST]
        self.answers.clear()
        for _, entry in best:
            item = QListWidgetItem(f"{entry.title}    {entry.sort}")
            item.setData(Qt.ItemDataRole.UserRole, entry)
            self.answers.addItem(item)
        if words and not best:
            item = QListWidgetItem(tr("Nothing is called that."))
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.answers.addItem(item)
        self.answers.setCurrentRow(0)
        self._place(bool(words))

    def _place(self, shown: bool) -> None:
        rows = self.answers.count()
        height = rows * max(self.answers.sizeHintForRow(0), 20) + 8
        foot = self.mapTo(self.window(), QPoint(self.width(), self.height() + 4))
        self.answers.setGeometry(max(4, foot.x() - WIDTH), foot.y(), WIDTH, height)
        self.answers.setVisible(shown)
        self.answers.raise_()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Arrow keys walk the answers; leaving the field closes them."""
        if event.type() == QEvent.Type.FocusOut:
            self._end()
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._key(event.key())
        return False

    def _key(self, key: int) -> bool:
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            by = 1 if key == Qt.Key.Key_Down else -1
            self.answers.setCurrentRow((self.answers.currentRow() + by) % max(1, self.answers.count()))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go()
        elif key == Qt.Key.Key_Escape:
            self._leave()
        else:
            return False
        return True

    def _go(self) -> None:
        item = self.answers.currentItem()
        entry = item.data(Qt.ItemDataRole.UserRole) if item else None
        if isinstance(entry, Entry):
            self._leave()
            entry.go()

    def _leave(self) -> None:
        self.clear()
        back = self._back or (self.bench.view if self.bench else None)
        self._end()
        if back:
            back.setFocus()

    def _end(self) -> None:
        self._entries = []
        self.answers.hide()
