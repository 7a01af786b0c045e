"""Joins the Findings dock, the search for remedies and the sheet: what is picked is tried, what is looked at is shown on
the sheet, what is taken becomes one step of undo. Knows no rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.mender import Case, Mender, Offer
from app.panels.finding_list import ShownFinding
from engine.messages import tr

if TYPE_CHECKING:
    from app.workbench import Workbench


class Mending(QObject):
    """One for a window."""

    def __init__(self, bench: Workbench) -> None:
        super().__init__(bench.window)
        self.bench = bench
        self.mender = Mender(bench.library, self)
        self.list = bench.panes.findings.remedies
        self._of: Case | None = None
        bench.panes.findings.shown.connect(self._seek)
        self.mender.begun.connect(lambda: self.list.tell(tr("Trying what could be done …")))
        self.mender.offered.connect(self._offer)
        self.list.looked_at.connect(self._look)
        self.list.taken.connect(self._take)
        bench.window.closing.connect(self.mender.wait)

    @property
    def fresh(self) -> bool:
        """Whether the remedies that are shown are of the boat as it is."""
        return self._of is not None and self._of.document.network is self.bench.store.document.network

    def _seek(self, picked: ShownFinding | None) -> None:
        analysis, document = self.bench.analyst.analysis, self.bench.store.document
        broken = picked is not None and picked.finding.outcome.verdict == "breaks"
        current = analysis is not None and analysis.boat.network is document.network
        if broken and current and self.fresh and self._of is not None and self._of.finding is picked.finding:  # type: ignore[union-attr]
            return
        self.list.tell("")
        self._of = Case(analysis, picked.finding, document) if broken and current else None  # type: ignore[arg-type, union-attr]
        self.mender.seek(self._of)

    def _offer(self, found: tuple[Offer, ...]) -> None:
        if self._of is not None:
            self.list.show_offers(found, self._of.analysis)
        self.bench.window.menus.refresh()

    def _look(self, offer: Offer | None) -> None:
        """On the sheet, with what would change in redline."""
        view = self.bench.view
        if offer is None or not self.fresh:
            view.bench.preview(None)
            return
        self.bench.reveal(offer.keys)
        view.bench.preview(offer.remedy.edit, offer.keys)

    def _take(self, offer: Offer) -> None:
        if self.fresh:
            title = offer.remedy.title
            self.bench.view.bench.apply(offer.remedy.edit, tr("Remedy: {title}").format(title=title))
