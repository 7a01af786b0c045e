"""Choose papers, paper size and folder; then see them written, one by one, and stop if need be."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QCloseEvent, QDesktopServices
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.figure import wrapped_label
from app.dialogs.paper_work import PaperWork
from app.panels.editors import Choice
from engine.messages import tr
from engine.papers.catalogue import PAPERS, subject_of
from engine.papers.page import PAPER_SIZES

if TYPE_CHECKING:
    from app.workbench import Workbench
    from engine.papers.subject import Subject


class PapersDialog(QDialog):
    """Papers of the boat as it is when they are made."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Papers"))
        self.setMinimumWidth(560)
        self.resize(780, min(800, self.screen().availableGeometry().height() - 40))
        self.bench, self.work = bench, PaperWork(self)
        self.boxes = {paper.name: QCheckBox(tr(paper.title), self) for paper in PAPERS}
        self.size_box, self.folder, self.name = Choice(self), QLineEdit(self), QLineEdit(self)
        self.progress, self.said = QProgressBar(self), QLabel(self)
        self.make, self.to_folder = QPushButton(tr("Make the papers"), self), QPushButton(tr("Open the folder"), self)
        self.stop = QPushButton(tr("Stop"), self)
        self._written: list[str] = []
        self._lay_out()
        self._fill()
        self._join()

    def _lay_out(self) -> None:
        box = QVBoxLayout(self)
        box.setContentsMargins(22, 18, 22, 16)
        box.setSpacing(8)
        box.addWidget(self._list(), 1)
        box.addLayout(self._form())
        self.said.setWordWrap(True)
        self.said.setObjectName("soft")
        self.progress.hide()
        box.addWidget(self.progress)
        box.addWidget(self.said)
        row = QHBoxLayout()
        row.addWidget(self.to_folder)
        row.addStretch(1)
        row.addWidget(self.stop)
        row.addWidget(self.make)
        box.addLayout(row)

    def _list(self) -> QScrollArea:
        """The papers; where they are more than there is room for, they scroll, and nothing below is squeezed."""
        body, scroller = QWidget(self), QScrollArea(self)
        body.setObjectName("scrollBody")
        box = QVBoxLayout(body)
        box.setContentsMargins(0, 0, 8, 0)
        for paper in PAPERS:
            box.addWidget(self.boxes[paper.name])
            formats = ", ".join(kind.upper() for kind in paper.formats)
            about = wrapped_label(body, f"{tr(paper.description)}  ({formats})", "soft")
            about.setContentsMargins(23, 0, 0, 4)
            box.addWidget(about)
        scroller.setWidgetResizable(True)
        scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroller.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroller.setWidget(body)
        return scroller

    def _form(self) -> QFormLayout:
        form = QFormLayout()
        form.setSpacing(8)
        row = QHBoxLayout()
        ask = QPushButton(tr("Choose …"), self)
        ask.clicked.connect(self._ask_folder)
        row.addWidget(self.folder, 1)
        row.addWidget(ask)
        for widget, text in (
            (self.size_box, tr("Paper size")),
            (self.folder, tr("Folder")),
            (self.name, tr("File names begin with")),
        ):
            widget.setAccessibleName(text)
        form.addRow(tr("Paper size"), self.size_box)
        form.addRow(tr("Folder"), row)
        form.addRow(tr("File names begin with"), self.name)
        return form

    def _fill(self) -> None:
        particulars, path = self.bench.store.document.network.particulars, self.bench.files.path
        for name in ("panel-schedule", "owners-drawing"):
            self.boxes[name].setChecked(True)
        self.size_box.addItems(list(PAPER_SIZES))
        self.size_box.setCurrentText("letter" if particulars.units == "us" else "A4")
        self.folder.setText(str((path.parent if path else Path.home()) / tr("papers")))
        self.name.setText(path.stem if path else "_".join(particulars.name.casefold().split()))
        self.make.setDefault(True)
        self.stop.hide()
        self.to_folder.hide()
        self._judge()

    def _join(self) -> None:
        for box in self.boxes.values():
            box.toggled.connect(self._judge)
        self.folder.textChanged.connect(self._judge)
        self.name.textChanged.connect(self._judge)
        self.make.clicked.connect(self.begin)
        self.stop.clicked.connect(self.work.stop)
        self.to_folder.clicked.connect(lambda: QDesktopServices.openUrl(QUrl.fromLocalFile(self.folder.text())))
        self.work.begun.connect(self._begun)
        self.work.written.connect(self._written.append)
        self.work.ended.connect(self._ended)

    def _ask_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(self, tr("Folder for the papers"), self.folder.text())
        if name:
            self.folder.setText(name)

    def chosen(self) -> list[str]:
        """Names of the papers that are ticked."""
        return [name for name, box in self.boxes.items() if box.isChecked()]

    def _judge(self) -> None:
        self.make.setEnabled(bool(self.chosen() and self.folder.text().strip() and self.name.text().strip()))

    def begin(self) -> None:
        """Make what is ticked, of the boat as it is now."""
        from engine.pipeline import analyse

        document, bench, size = self.bench.store.document, self.bench, self.size_box.currentText()

        def subject() -> Subject:
            analysis = analyse(document.network, bench.library, slow=True)
            return subject_of(document, analysis, bench.library, bench.symbols, size)

        wanted = [paper for paper in PAPERS if self.boxes[paper.name].isChecked()]
        self._written.clear()
        self.progress.setRange(0, len(wanted))
        self._show_working(True)
        self.work.start(wanted, subject, self.name.text().strip(), Path(self.folder.text().strip()).expanduser())

    def _show_working(self, working: bool) -> None:
        self.progress.setVisible(working)
        self.stop.setVisible(working)
        self.make.setVisible(not working)
        self.to_folder.setVisible(not working and bool(self._written))

    def _begun(self, number: int, title: str) -> None:
        self.progress.setValue(number)
        self.said.setText(tr("Making: {paper} …").format(paper=tr(title)))

    def _ended(self, why: str) -> None:
        self._show_working(False)
        names = ", ".join(Path(path).name for path in self._written)
        told = tr("Written: {names}.").format(names=names) if names else tr("Nothing was written.")
        self.said.setText(f"{why} {told}".strip() if why else told)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        self.work.stop()
        self.work.wait()
        super().closeEvent(event)
