"""The Stores dock: what can be placed, in groups, with a search field. Enter or a double click takes a part in hand.

Knows device kinds and their drawings; no document.
"""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QMimeData, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QDrag, QKeyEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from app.canvas.drops import KIND_MIME
from app.canvas.painter import ItemPainter
from app.panels.thumbnails import HEIGHT, WIDTH, thumbnail
from engine.drawing.theme import Theme as SheetTheme
from engine.library.device import DeviceKind, Library
from engine.library.symbol import Family, Symbol
from engine.messages import tr

KIND_ROLE = Qt.ItemDataRole.UserRole
GROUP_ORDER = (
    "Sources",
    "Charging",
    "Shore and AC sources",
    "Switches",
    "Fuses and breakers",
    "Buses and grounds",
    "Panels",
    "Loads",
)
"""Groups that come first, along the way of the current; the others follow by name."""


class Tree(QTreeWidget):
    """The list. Dragging carries the kind's id."""

    taken = Signal(str)

    def kind_of(self, item: QTreeWidgetItem | None) -> str:
        """The kind id of an item; "" for a heading."""
        return str(item.data(0, KIND_ROLE) or "") if item else ""

    def startDrag(self, _actions: Qt.DropAction) -> None:  # noqa: N802
        item = self.currentItem()
        kind = self.kind_of(item)
        if item and kind:
            drag = QDrag(self)
            drag.setMimeData(kind_mime(kind))
            picture = item.icon(0).pixmap(WIDTH, HEIGHT)
            drag.setPixmap(picture)
            drag.setHotSpot(QPoint(WIDTH // 2, HEIGHT // 2))
            drag.exec(Qt.DropAction.CopyAction)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.kind_of(self.currentItem()):
            self.taken.emit(self.kind_of(self.currentItem()))
            return
        super().keyPressEvent(event)


def kind_mime(kind_id: str) -> QMimeData:
    """What is dragged out of Stores."""
    data = QMimeData()
    data.setData(KIND_MIME, kind_id.encode())
    return data


class StoresPanel(QWidget):
    """`taken` carries the id of the kind that a person wants to place."""

    taken = Signal(str)
    told = Signal(str)
    """What the part under the keyboard is for, for the status line."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.search, self.tree, self.empty = QLineEdit(self), Tree(self), QLabel(self)
        self.library: Library = {}
        self._symbols: Mapping[str, Symbol] = {}
        self._lay_out()
        self.search.textChanged.connect(self.seek)
        self.search.returnPressed.connect(self._take_first)
        self.tree.taken.connect(self.taken)
        self.tree.itemDoubleClicked.connect(lambda item, _column: self._take(item))
        self.tree.currentItemChanged.connect(lambda item, _old: self._tell(item))

    def _lay_out(self) -> None:
        self.search.setPlaceholderText(tr("Search Stores"))
        self.search.setAccessibleName(tr("Search Stores"))
        self.search.setClearButtonEnabled(True)
        self.tree.setAccessibleName(tr("What can be placed"))
        self.tree.setHeaderHidden(True)
        self.tree.setIndentation(4)
        self.tree.setRootIsDecorated(False)
        self.tree.setIconSize(QSize(WIDTH, HEIGHT))
        self.tree.setDragEnabled(True)
        self.tree.setUniformRowHeights(False)
        self.tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.empty.setObjectName("soft")
        self.empty.setWordWrap(True)
        self.empty.setMargin(12)
        self.empty.hide()
        box = QVBoxLayout(self)
        box.setContentsMargins(8, 8, 8, 8)
        box.setSpacing(6)
        box.addWidget(self.search)
        box.addWidget(self.empty)
        box.addWidget(self.tree, 1)

    def show_library(self, library: Library, symbols: Mapping[str, Symbol], theme: SheetTheme, family: Family) -> None:
        """Fill the list, with symbols drawn in the sheet's colours."""
        chosen = self.tree.kind_of(self.tree.currentItem())
        self.library, self._symbols = library, symbols
        painter = ItemPainter(theme)
        self.tree.clear()
        for group in groups_of(library):
            head = self._heading(group)
            for kind in sorted((kind for kind in library.values() if kind.group == group), key=lambda kind: kind.title):
                item = QTreeWidgetItem(head, [tr(kind.title)])
                item.setData(0, KIND_ROLE, kind.id)
                item.setToolTip(0, tr(kind.about))
                item.setIcon(0, thumbnail(kind, symbols, painter, family))
                if kind.id == chosen:
                    self.tree.setCurrentItem(item)
        self.tree.expandAll()
        self.seek(self.search.text())

    def _heading(self, group: str) -> QTreeWidgetItem:
        head = QTreeWidgetItem(self.tree, [tr(group)])
        font = self.font()
        font.setBold(True)
        head.setFont(0, font)
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        return head

    def seek(self, text: str) -> None:
        """Only the kinds that the words fit; a word may be anywhere in title, group, use or other names."""
        words = text.casefold().split()
        found = 0
        for head in (self.tree.topLevelItem(at) for at in range(self.tree.topLevelItemCount())):
            assert head is not None
            shown = 0
            for item in children(head):
                fits = matches(self.library[self.tree.kind_of(item)], words)
                item.setHidden(not fits)
                shown += fits
            head.setHidden(shown == 0)
            found += shown
        self.empty.setText(tr("Nothing in Stores is called “{text}”. Try a plainer word.").format(text=text.strip()))
        self.empty.setVisible(found == 0 and bool(words))

    def focus_search(self) -> None:
        """Put the keyboard into the search field."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def _take_first(self) -> None:
        item = self._first()
        if item:
            self.tree.setCurrentItem(item)
            self.taken.emit(self.tree.kind_of(item))

    def _first(self) -> QTreeWidgetItem | None:
        """The one under the keyboard; else the one whose title fits the search best."""
        current = self.tree.currentItem()
        if current and self.tree.kind_of(current) and not current.isHidden():
            return current
        heads = (self.tree.topLevelItem(at) for at in range(self.tree.topLevelItemCount()))
        items = [item for head in heads if head for item in children(head) if not item.isHidden()]
        words = self.search.text().casefold().split()
        return min(items, key=lambda item: misfit(item.text(0), words), default=None)

    def _take(self, item: QTreeWidgetItem) -> None:
        if self.tree.kind_of(item):
            self.taken.emit(self.tree.kind_of(item))

    def _tell(self, item: QTreeWidgetItem | None) -> None:
        kind = self.library.get(self.tree.kind_of(item))
        if kind:
            about = tr(kind.about) or tr(kind.title)
            self.told.emit(tr("{about} Enter takes it in hand.").format(about=about))


def children(head: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    """The items under a heading."""
    return [item for at in range(head.childCount()) if (item := head.child(at)) is not None]


def misfit(title: str, words: list[str]) -> tuple[int, int]:
    """How badly a title fits what is sought: words it has not, then how much else it says."""
    return sum(word not in title.casefold() for word in words), len(title)


def groups_of(library: Library) -> list[str]:
    """The headings in order."""
    groups = {kind.group for kind in library.values()}
    return sorted(groups, key=lambda group: (GROUP_ORDER.index(group) if group in GROUP_ORDER else 99, group))


def matches(kind: DeviceKind, words: list[str]) -> bool:
    """Whether every word is somewhere in what the kind is called."""
    text = " ".join((kind.title, tr(kind.title), kind.group, kind.about, *kind.words, kind.id)).casefold()
    return all(word in text for word in words)
