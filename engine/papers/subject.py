"""What every paper is made from: the boat's document, its analysis, the library, and the paper size asked for."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.model.document import Document
from engine.model.network import Particulars
from engine.pipeline import Analysis
from engine.rules.api import Book


class Subject(msgspec.Struct, frozen=True):
    """One boat to be put on paper."""

    document: Document
    analysis: Analysis
    library: Library
    symbols: Mapping[str, Symbol]
    paper: str = "A4"

    @property
    def boat(self) -> Boat:
        """The boat with what is derived from it."""
        return self.analysis.boat

    @property
    def particulars(self) -> Particulars:
        """Name, yard, drawing number …"""
        return self.document.network.particulars

    @property
    def books(self) -> tuple[Book, ...]:
        """The rulebooks that were asked."""
        return self.analysis.report.books
