"""Sums of loads: their terms, and the figures that follow: diversified, all at once, standing by, while one starts.

Knows no wiring and no boat.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

import msgspec

from engine.electrics.sources import number_text
from engine.model.network import Part
from engine.studies.estimate import Estimate, text_of
from engine.studies.load_figures import Load

State = Literal["works", "stands by", "off", "not fed"]


class Drawn(msgspec.Struct, frozen=True):
    """What a load draws in a condition: its duty, 0 to 1, and the diversified current with its formula."""

    state: State
    duty: float
    amount: Estimate


class Item(msgspec.Struct, frozen=True):
    """One term of a sum: who takes it, in which state, how much: diversified, at full, and while it starts."""

    part: Part
    state: State
    amount: Estimate
    full: Estimate
    """With everything that works at its full current."""
    start: Estimate | None = None
    """While it starts (of a converter: while what it feeds and adds most starts); None: nothing of it starts."""
    load: Load | None = None
    """None: a converter, which takes what it gives."""


class Sum(msgspec.Struct, frozen=True):
    """What is taken somewhere: the terms for certain, and those that may come by another way."""

    items: tuple[Item, ...] = ()
    perhaps: tuple[Item, ...] = ()

    @property
    def estimate(self) -> Estimate:
        """The diversified sum, A, with its terms as formula."""
        return self._total(lambda item: item.amount)

    @property
    def running(self) -> Estimate:
        """Everything that works at its full current at once, and what stands by, A."""
        return self._total(lambda item: item.full)

    @property
    def standby(self) -> Estimate:
        """What stands by, A."""
        resting = Sum(
            *(tuple(item for item in each if item.state == "stands by") for each in (self.items, self.perhaps))
        )
        return resting.estimate

    @property
    def starting(self) -> Estimate:
        """The diversified sum while the one that works and adds most by starting does so, A."""
        base = self.estimate
        certain, every = (
            [_added(item, item.start) for item in items if item.start is not None]
            for items in (self.items, (*self.items, *self.perhaps))
        )
        if not every:
            return base
        top = max(every, key=lambda each: (each.least, each.middle))
        return Estimate(
            base.least + max((each.least for each in certain), default=0.0), base.middle + top.middle,
            base.most + max(each.most for each in every), "A", f"{number_text(base.middle)} A + {top.formula}",
            tuple(dict.fromkeys((*base.sources, *top.sources))),
            tuple(dict.fromkeys((*base.lacks, *(lack for each in every for lack in each.lacks)))),
        )  # fmt: skip

    def _total(self, of: Callable[[Item], Estimate]) -> Estimate:
        certain, perhaps = [of(item) for item in self.items], [of(item) for item in self.perhaps]
        every = (*certain, *perhaps)
        return Estimate(
            sum(each.least for each in certain), sum(each.middle for each in certain) + sum(e.middle for e in perhaps) / 2,
            sum(each.most for each in every), "A", self._formula(certain, perhaps),
            tuple(dict.fromkeys(source for each in every for source in each.sources)),
            tuple(dict.fromkeys(lack for each in every for lack in each.lacks)),
        )  # fmt: skip

    def _formula(self, certain: Sequence[Estimate], perhaps: Sequence[Estimate]) -> str:
        terms = " + ".join(_term(item, each) for item, each in zip(self.items, certain, strict=True) if each.most > 0)
        others = " + ".join(
            _term(item, each) for item, each in zip(self.perhaps, perhaps, strict=True) if each.most > 0
        )
        if not others:
            return terms or "nothing draws current here"
        more = f"from nothing to all of ({others}), which another way or source may carry"
        return f"{terms} + {more}" if terms else more


def _term(item: Item, value: Estimate) -> str:
    return f"{item.part.designation or item.part.id} {text_of(value, 3).removesuffix(' A')}"


def _added(item: Item, start: Estimate) -> Estimate:
    """What its starting adds to its share in the sum."""
    share = item.amount
    text = f"({item.part.designation} starting {start.formula} − {number_text(share.middle)} A)"
    return Estimate(
        max(0.0, start.least - share.least), max(0.0, start.middle - share.middle), max(0.0, start.most - share.least),
        "A", text, start.sources, start.lacks,
    )  # fmt: skip
