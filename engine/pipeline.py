"""From a network to its Analysis: pole graph, rules. The one place that says in which order things are derived."""

from __future__ import annotations

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.model.network import Network
from engine.rules.api import Book, Finding
from engine.rules.runner import Report, run_rules


class Analysis(msgspec.Struct, frozen=True):
    """Everything derived from one network."""

    boat: Boat
    report: Report

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What a person must see, most serious first."""
        return self.report.findings


def analyse(network: Network, library: Library, books: tuple[Book, ...] | None = None) -> Analysis:
    """Check the boat under its own rulebooks, or under those given."""
    boat = Boat(network, library)
    return Analysis(boat, run_rules(boat, books))
