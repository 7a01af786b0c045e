"""Which device opens first if the selected wire is shorted: the sentence, the time-current chart, the numbers behind it.

It stays open beside the sheet and follows the selection and the boat. What it says comes from engine.studies.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QGridLayout, QLabel, QVBoxLayout, QWidget

from app.dialogs.figure import Figure, wrapped_label
from engine.drawing.curve_chart import curve_chart
from engine.graph.boat import Boat
from engine.messages import tr
from engine.studies.curves import chart_of
from engine.studies.selectivity import Verdict, first_to_open, guard_name, run_of, sentence
from engine.studies.withstand import amps, hold_of, hold_text, opens

if TYPE_CHECKING:
    from app.workbench import Workbench

NOTHING = "Select a wire, a fuse, a way of a panel or a load."


class CurvesDialog(QDialog):
    """The answer for what is selected."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("If it is shorted"))
        self.resize(900, 760)
        self.bench = bench
        self.told, self.held = wrapped_label(self, kind="headline"), wrapped_label(self)
        self.view = Figure(tr("Time-current chart"), QSize(620, 330), bench.window.settings.dark, self)
        self.times = QWidget(self)
        self._grid = QGridLayout(self.times)
        self._build()
        bench.selection.changed.connect(self.ask)
        bench.analyst.done.connect(self.ask)
        self.ask()

    def _build(self) -> None:
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(20)
        self._grid.setColumnStretch(3, 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.setContentsMargins(20, 16, 20, 14)
        box.setSpacing(10)
        box.addWidget(self.told)
        box.addWidget(self.view, 1)
        for widget in (self.times, self.held, _caution(self)):
            box.addWidget(widget)
        box.addStretch()  # takes the room of a chart that is not shown
        box.addWidget(buttons)

    def ask(self, _changed: object = None) -> None:
        """Answer for what is selected now; the last answer stays while nothing that has one is."""
        boat = self.bench.analyst.boat
        run = next((run for key in sorted(self.bench.selection.keys) if (run := run_of(boat, key))), None)
        if run is not None:
            self._show(boat, first_to_open(boat, run.id))
        elif not self.told.text():
            self.told.setText(tr(NOTHING))

    def _show(self, boat: Boat, verdict: Verdict) -> None:
        said, fault = sentence(boat, verdict), verdict.fault
        self.told.setText(said)
        self.setWindowTitle(tr("If {wire} is shorted").format(wire=boat.name_run(verdict.run)))
        self.view.show_figure(partial(curve_chart, chart_of(boat, [fault])) if fault else None, said)
        self.view.setVisible(fault is not None and any(guard.bands for guard in fault.guards))
        self.held.setText(hold_text(hold_of(fault)) if fault else "")
        self._list(boat, verdict)
        self.bench.window.foot.say(said.partition(": ")[0].partition(". ")[0])

    def _list(self, boat: Boat, verdict: Verdict) -> None:
        """The devices on the way, nearest first, with when each opens at both ends of the range."""
        while (item := self._grid.takeAt(0)) is not None:
            if widget := item.widget():
                widget.deleteLater()
        fault = verdict.fault
        if fault is None or not verdict.candidates:
            return
        least = amps(fault.least_a) if fault.least_a > 0 else "?"
        most = amps(fault.most_a) if fault.most_a < float("inf") else "?"
        heads = (
            tr("On the way, nearest first"),
            tr("opens at {a} A").format(a=least),
            tr("opens at {a} A").format(a=most),
        )
        rows = [
            (guard_name(boat, each.guard), opens(each.at_least), opens(each.at_most)) for each in verdict.candidates
        ]
        for row, texts in enumerate((heads, *rows)):
            for column, text in enumerate(texts):
                label = QLabel(text, self.times)
                label.setObjectName("soft" if row == 0 else "")
                self._grid.addWidget(label, row, column)


def _caution(parent: QWidget) -> QLabel:
    text = tr("Computed from the drawing; limits as the standards set them, many from memory. Where the boat or the maker's "
              "curve differs, they are right.")  # fmt: skip
    return wrapped_label(parent, text, "soft")
