"""What can be done about the finding that is picked: remedies that were tried, each with what it removes and brings.

Looking at one by key or mouse emits `looked_at`, Enter, a double click or the button `taken`. Knows no sheet and no edit.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAbstractTextDocumentLayout, QFocusEvent, QKeyEvent, QPainter, QTextDocument
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.mender import Offer
from engine.graph.boat import Boat
from engine.messages import tr
from engine.pipeline import Analysis
from engine.rules.api import Finding
from engine.rules.wording import lacking_text, sentence, subject_text

Index = QModelIndex | QPersistentModelIndex
OFFER_ROLE = Qt.ItemDataRole.UserRole
EFFECT_ROLE = Qt.ItemDataRole.UserRole + 1
PAD_PX = 5


class TwoTexts(QStyledItemDelegate):
    """A row of two texts, both wrapped: what is done in bold, below it what that changes."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        bare = QStyleOptionViewItem(option)
        bare.text = ""
        option.widget.style().drawControl(QStyle.ControlElement.CE_ItemViewItem, bare, painter, option.widget)
        rect = option.rect
        told, context = self._document(index, rect.width()), QAbstractTextDocumentLayout.PaintContext()
        context.palette = option.palette
        painter.save()
        painter.translate(rect.left() + PAD_PX, rect.top() + PAD_PX)
        context.clip = QRectF(0, 0, rect.width() - 2 * PAD_PX, rect.height())
        told.documentLayout().draw(painter, context)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: N802
        view = option.widget
        width = view.viewport().width() if isinstance(view, QListWidget) else option.rect.width()
        return QSize(width, int(self._document(index, width).size().height()) + 2 * PAD_PX)

    def _document(self, index: Index, width: int) -> QTextDocument:
        from html import escape

        told = QTextDocument()
        told.setDocumentMargin(0)
        told.setDefaultFont(QApplication.font())
        title, effect = escape(str(index.data())), escape(str(index.data(EFFECT_ROLE))).replace("\n", "<br>")
        told.setHtml(f"<b>{title}</b><br>{effect}")
        told.setTextWidth(width - 2 * PAD_PX)
        return told


class OfferList(QListWidget):
    """A list that says when the keyboard comes and goes, and when Enter is pressed."""

    entered = Signal()
    left = Signal()
    pressed_enter = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentItem() is not None:
            self.pressed_enter.emit()
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusInEvent(event)
        self.entered.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.left.emit()


class RemedyList(QWidget):
    """The remedies beside the finding."""

    looked_at = Signal(object)
    """The Offer to be shown on the sheet; None: none any more."""
    taken = Signal(object)
    """The Offer to be done."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head, self.said, self.list = QLabel(tr("Remedies"), self), QLabel(self), OfferList(self)
        self.take = QToolButton(self)
        self.offers: tuple[Offer, ...] = ()
        self._shown = False
        self._lay_out()
        self.list.currentItemChanged.connect(lambda _now, _old: self._look())
        self.list.entered.connect(self._entered)
        self._leaving = QTimer(self, interval=0, singleShot=True)
        self._leaving.timeout.connect(self._leave_if_left)
        self.list.left.connect(self._leaving.start)
        self.list.pressed_enter.connect(self.take_current)
        self.list.itemDoubleClicked.connect(lambda _item: self.take_current())
        self.take.clicked.connect(self.take_current)
        self.tell("")

    def _lay_out(self) -> None:
        self.setMinimumWidth(190)
        self.head.setObjectName("headline")
        self.said.setObjectName("soft")
        self.said.setWordWrap(True)
        self.take.setObjectName("plain")
        self.take.setText(tr("Take it"))
        self.list.setAccessibleName(tr("Remedies of the finding"))
        self.list.setItemDelegate(TwoTexts(self.list))
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        row = QHBoxLayout()
        row.addWidget(self.head, 1)
        row.addWidget(self.take)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 8, 10, 8)
        box.setSpacing(6)
        box.addLayout(row)
        box.addWidget(self.said)
        box.addWidget(self.list, 1)

    def tell(self, text: str) -> None:
        """No remedies, and why."""
        self.offers = ()
        self.list.clear()
        self.list.hide()
        self.take.setVisible(False)
        self.said.setText(text)
        self.said.setVisible(bool(text))
        self.head.setVisible(bool(text))
        self._end()

    def show_offers(self, found: tuple[Offer, ...], analysis: Analysis) -> None:
        """These remedies, the best first; none is looked at before somebody does."""
        if not found:
            self.tell(tr("No edit of the drawing alone puts this right: it wants a decision or a look aboard."))
            return
        self.tell(tr("Tried on this boat. Arrow keys show, Enter takes."))
        for offer in found:
            item = QListWidgetItem(offer.remedy.title[:1].upper() + offer.remedy.title[1:])
            effect = effect_text(offer, analysis)
            item.setData(OFFER_ROLE, offer)
            item.setData(EFFECT_ROLE, effect)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{item.text()}. {effect}")
            self.list.addItem(item)
        self.offers = found
        self.list.show()
        self.take.setVisible(True)
        self.take.setEnabled(False)

    def current(self) -> Offer | None:
        """The remedy that is looked at."""
        item = self.list.currentItem()
        found = item.data(OFFER_ROLE) if item is not None else None
        return found if isinstance(found, Offer) else None

    def take_current(self) -> None:
        """Do the one that is looked at."""
        self._take(self.current())

    def take_first(self) -> None:
        """Do the best."""
        self._take(self.offers[0] if self.offers else None)

    def _take(self, offer: Offer | None) -> None:
        if offer is not None:
            self._shown = False
            self.taken.emit(offer)

    def _entered(self) -> None:
        if self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self._look()

    def _look(self) -> None:
        offer = self.current()
        self.take.setEnabled(offer is not None)
        if offer is not None and self.list.hasFocus():
            self._shown = True
            self.looked_at.emit(offer)

    def _leave_if_left(self) -> None:
        now = QApplication.focusWidget()
        if now is None or not (now is self or self.isAncestorOf(now)):
            self._end()

    def _end(self) -> None:
        if self._shown:
            self._shown = False
            self.looked_at.emit(None)

    def event(self, event: QEvent) -> bool:
        """The keyboard goes to the list."""
        if event.type() == QEvent.Type.FocusIn:
            self.list.setFocus()
        return super().event(event)


def effect_text(offer: Offer, analysis: Analysis) -> str:
    """What a remedy removes and brings, in a few lines."""
    removed, added = offer.preview.removed, offer.preview.added
    others = dict.fromkeys(_about(each, analysis.boat) for each in removed)
    if len(removed) > 1:
        lines = [tr("Removes {count} findings, of {names}").format(count=len(removed), names=", ".join(others))]
    else:
        lines = [tr("Removes this finding")]
    lines[0] += "" if added else tr("; brings none")
    lines += [_brought(each, offer.preview.after.boat) for each in added]
    return "\n".join(dict.fromkeys(lines))


def _brought(finding: Finding, boat: Boat) -> str:
    """What breaks, in its sentence; what cannot be told, by the fields that are then to be filled in."""
    if finding.outcome.verdict == "cannot-tell":
        return tr("Leaves open: {fields}").format(fields=lacking_text(finding, boat))
    return tr("Brings: {sentence}").format(sentence=sentence(finding, boat))


def _about(finding: Finding, boat: Boat) -> str:
    """A wire as a wire, anything else by its name."""
    subjects = finding.outcome.subjects
    run = boat.runs.get(subjects[0][4:]) if subjects and subjects[0].startswith("run:") else None
    return boat.name_run(run) if run else subject_text(finding, boat)
