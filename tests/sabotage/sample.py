"""A clean sample boat as sabotage uses it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from engine.graph.boat import Boat
from engine.model.network import Network, Part, Run
from engine.model.quantity import as_quantity, high
from engine.rules.api import Book
from tests.samples.boats import document, library

CLEAN = {"quill_34": ("e11",), "quill_26_launch": ("33cfr183", "e11")}
"""The clean samples, and the rulebooks that are asked of each fault."""
LOADS = frozenset({"load_dc", "load_ac", "outlet_ac"})


class Sample:
    """One clean boat."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.network: Network = document(name).network
        self.books: tuple[Book, ...] = CLEAN[name]  # type: ignore[assignment]

    @cached_property
    def boat(self) -> Boat:
        """The boat as it is."""
        return Boat(self.network, library())

    @cached_property
    def everything(self) -> frozenset[str]:
        """Every key of the boat: for a fault that may show anywhere."""
        runs = {f"run:{run.id}" for run in self.network.runs}
        parts = {f"part:{part.id}" for part in self.network.parts}
        ways = {f"position:{part.id}/{way.key}" for part in self.network.parts for way in part.positions}
        boxes = {f"box:{box.id}" for box in self.network.enclosures}
        return frozenset(runs | parts | ways | boxes)

    def with_role(self, *roles: str) -> tuple[Part, ...]:
        """Parts by role."""
        return self.boat.with_role(*roles)

    def branches(self) -> Iterator[Run]:
        """Runs that land on a load's supply."""
        loads = {part.id for part in self.with_role(*LOADS)}
        for run in self.network.runs:
            if {run.a.part, run.b.part} & loads and {"+", "L"} & set(run.poles):
                yield run

    def weighty_branches(self) -> Iterator[Run]:
        """Those of DC loads that draw enough for a long cable to matter; AC has no rule on the voltage lost."""
        for run in self.branches():
            loads = [self.boat.parts[end.part] for end in (run.a, run.b)]
            amps = max(high(as_quantity(part.values.get("running_a")), 0.0) for part in loads)
            if "+" in run.poles and amps > 0.2:
                yield run

    @cached_property
    def returns(self) -> frozenset[str]:
        """Keys of the negative cables: no device is in them, so what one lets through shows there."""
        return frozenset(f"run:{run.id}" for run in self.network.runs if run.poles == ("-",))

    def runs_of(self, part: Part) -> frozenset[str]:
        """Keys of the runs that land on a part."""
        return frozenset(f"run:{run.id}" for run in self.network.runs if part.id in (run.a.part, run.b.part))
