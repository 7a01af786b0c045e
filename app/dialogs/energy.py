"""How long the banks last: choose a condition and a bank, read the sentence, see the charge over three days.

It stays open beside the sheet and follows the boat. What it says comes from engine.studies.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.dialogs.figure import Figure, wrapped_label
from app.panels.editors import Choice
from engine.drawing.charge_plot import charge_plot
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Condition
from engine.studies.energy import BankDay, anchor_conditions, energy
from engine.studies.energy_words import amount_text, hours_text, lacking, lasts

if TYPE_CHECKING:
    from app.workbench import Workbench


class EnergyDialog(QDialog):
    """The answer for a condition and a bank."""

    def __init__(self, bench: Workbench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("How long at anchor"))
        self.resize(820, 660)
        self.bench, self.days = bench, tuple[BankDay, ...]()
        self.boat = bench.analyst.boat
        self.condition, self.bank = Choice(self), Choice(self)
        self.told = wrapped_label(self, kind="headline")
        self.sums, self.charged, self.cautions = (wrapped_label(self) for _ in range(3))
        self.view = Figure(tr("State of charge over three days"), QSize(620, 250), bench.window.settings.dark, self)
        self._build()
        self.condition.currentIndexChanged.connect(self._ask)
        self.bank.currentIndexChanged.connect(self._show)
        bench.analyst.done.connect(self.follow)
        self.follow()

    def _build(self) -> None:
        row = QHBoxLayout()
        for text, choice in ((tr("Condition"), self.condition), (tr("Bank"), self.bank)):
            choice.setAccessibleName(text)
            label = QLabel(text, self)
            label.setBuddy(choice)
            row.addWidget(label)
            row.addWidget(choice, 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.setContentsMargins(20, 16, 20, 14)
        box.setSpacing(10)
        box.addLayout(row)
        box.addWidget(self.told)
        box.addWidget(self.view, 1)
        for widget in (self.sums, self.charged, self.cautions, _assumed(self), buttons):
            box.addWidget(widget)

    def follow(self, _analysis: object = None) -> None:
        """The boat as it is now; the condition stays chosen where it is still there."""
        self.boat = self.bench.analyst.boat
        names = [each.name for each in self.conditions]
        chosen = self.condition.currentText()
        first = next(iter(anchor_conditions(self.boat)), None)
        _fill(self.condition, names, chosen if chosen in names else first.name if first else "")
        self._ask()

    @property
    def conditions(self) -> Sequence[Condition]:
        """The conditions of the boat."""
        return self.boat.network.conditions

    def _ask(self, _at: int = 0) -> None:
        """Work out the chosen condition; the bank stays chosen, else the one that most is drawn from."""
        at = self.condition.currentIndex()
        self.days = energy(self.boat, self.conditions[at]) if 0 <= at < len(self.conditions) else ()
        names = [day.name for day in self.days]
        most = max(self.days, key=lambda day: day.out.middle, default=None)
        chosen = self.bank.currentText()
        _fill(self.bank, names, chosen if chosen in names else most.name if most else "")
        self._show()

    def _show(self, _at: int = 0) -> None:
        at = self.bank.currentIndex()
        if not 0 <= at < len(self.days):
            self.told.setText(tr("There is no battery, or no operating condition to ask about."))
            for widget in (self.view, self.sums, self.charged, self.cautions):
                widget.hide()
            return
        day = self.days[at]
        self.told.setText(lasts(day))
        self.view.show_figure(partial(charge_plot, day), lasts(day))
        self.view.setVisible(bool(day.days_of))
        self.sums.setText(_sums(day))
        _say(self.charged, _charged(self.boat, day))
        _say(self.cautions, _cautions(self.boat, day))
        self.sums.show()
        self.bench.window.foot.say(lasts(day))


def _sums(day: BankDay) -> str:
    text = tr("Drawn in a day: {out}. Charged, if the bank takes it: {into}. Usable of {capacity}: {usable}.")
    return text.format(
        out=amount_text(day.out), into=amount_text(day.into), capacity=amount_text(day.capacity),
        usable=amount_text(day.usable),
    )  # fmt: skip


def _charged(boat: Boat, day: BankDay) -> str:
    """Hours to charge again by each source."""
    told = tr("; ").join(
        tr("by {source} in {time}").format(source=boat.name(each.part), time=hours_text(each.hours))
        for each in day.recharge
    )
    return tr("Charged again from there, with nothing drawn meanwhile: {told}.").format(told=told) if told else ""


def _cautions(boat: Boat, day: BankDay) -> str:
    lines = list(day.cautions)
    if day.lacks:
        lines.append(tr("Not known: {fields}.").format(fields=lacking(boat, day.lacks)))
    return "\n".join(lines)


def _fill(choice: Choice, names: Sequence[str], chosen: str) -> None:
    """These names, without telling that they changed."""
    choice.blockSignals(True)
    choice.clear()
    choice.addItems(list(names))
    choice.setCurrentText(chosen)
    choice.setEnabled(len(names) > 1)
    choice.blockSignals(False)


def _say(label: QLabel, text: str) -> None:
    label.setText(text)
    label.setVisible(bool(text))


def _assumed(parent: QWidget) -> QLabel:
    text = tr("Assumed: the condition lasts all day, from full at 18:00; loads draw evenly, the sun gives from 6:00 to "
              "18:00. The energy balance among the papers lists every load, formula and source.")  # fmt: skip
    return wrapped_label(parent, text, "soft")
