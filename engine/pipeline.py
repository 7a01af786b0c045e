"""From a network to its Analysis: pole graph, rules. The one place that says in which order things are derived."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

import msgspec

from engine.graph.boat import Boat
from engine.library.device import Library
from engine.model.network import Network
from engine.rules.api import Book, Finding, Rule
from engine.rules.recall import Recall
from engine.rules.runner import Report, run_rules


class Analysis(msgspec.Struct, frozen=True):
    """Everything derived from one network."""

    boat: Boat
    report: Report

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What a person must see, most serious first."""
        return self.report.findings


def analyse(
    network: Network,
    library: Library,
    books: tuple[Book, ...] | None = None,
    superseded: Callable[[], bool] = lambda: False,
    *,
    rules: Iterable[Rule] | None = None,
    slow: bool = False,
    recall: Recall | None = None,
) -> Analysis:
    """Check the boat under its own rulebooks, or under those given; `slow` asks the rules that take long as well. With
    `rules` those are asked and no others; what `recall` has of one is not asked again.

    `superseded` is asked now and then whether nobody waits for the answer any more; true: SupersededError.
    """
    with _collector_at_rest():
        boat = Boat(network, library)
        return Analysis(boat, run_rules(boat, books, rules, superseded=superseded, slow=slow, recall=recall))


@contextmanager
def _collector_at_rest() -> Iterator[None]:
    """The check makes some hundred thousand records that all live on; looking for rubbish among them costs a quarter of
    its time and finds none."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()  # the two together only pass what is new on to the old, without looking through it
        gc.unfreeze()
        if was_on:
            gc.enable()
