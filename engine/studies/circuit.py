"""A circuit as arrays of numbers: what the solver works on. Knows no boat: nodes are row numbers, -1 is the reference.

DC circuits are real, AC circuits complex (RMS phasors). Sign conventions: a branch current flows from a to b; a source
drives current inside from a to b, so b is its live terminal; a load draws from a and returns at b.
"""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[Any]
"""float64 in a DC circuit, complex128 in an AC circuit; integers where they are row numbers."""


class Branches(msgspec.Struct, frozen=True):
    """Conductances between nodes, S."""

    a: Numbers
    b: Numbers
    y_s: Numbers


class Feeds(msgspec.Struct, frozen=True):
    """Sources with an inner conductance, S, that take current back (batteries, shore)."""

    a: Numbers
    b: Numbers
    y_s: Numbers
    emf_v: Numbers


class Valves(msgspec.Struct, frozen=True):
    """Elements that pass current one way only, up to a limit, A: regulated charging sources, and diodes (emf_v is the
    voltage lost, negative; limit infinite). DC only."""

    a: Numbers
    b: Numbers
    y_s: Numbers
    emf_v: Numbers
    limit_a: Numbers


class Loads(msgspec.Struct, frozen=True):
    """Loads of constant current, A (complex: its part in phase with the voltage, and minus j times what lags), and of
    constant power, W (complex: P + jQ). A resistive load is a branch."""

    a: Numbers
    b: Numbers
    current_a: Numbers
    power_w: Numbers


class Circuit(msgspec.Struct, frozen=True):
    """Everything between `size` free nodes and the reference."""

    size: int
    branches: Branches
    feeds: Feeds
    valves: Valves
    loads: Loads

    @property
    def is_ac(self) -> bool:
        """Whether it is solved with complex numbers."""
        return self.branches.y_s.dtype.kind == "c"


Ends = list[tuple[int, int]]


def circuit(
    size: int,
    *,
    ac: bool = False,
    branches: list[tuple[int, int, complex]] | None = None,
    feeds: list[tuple[int, int, complex, complex]] | None = None,
    valves: list[tuple[int, int, float, float, float]] | None = None,
    loads: list[tuple[int, int, complex, complex]] | None = None,
) -> Circuit:
    """A circuit from lists: (a, b, S), (a, b, S, V), (a, b, S, V, limit A), (a, b, A, W)."""
    kind = np.dtype(np.complex128 if ac else np.float64)
    return Circuit(
        size,
        Branches(*_columns(branches or [], 1, kind)),
        Feeds(*_columns(feeds or [], 2, kind)),
        Valves(*_columns(valves or [], 3, np.dtype(np.float64))),
        Loads(*_columns(loads or [], 2, kind)),
    )


def _columns(rows: list[Any], values: int, kind: np.dtype[Any]) -> list[Numbers]:
    """The two columns of row numbers and the columns of values."""
    columns = list(zip(*rows, strict=True)) if rows else [()] * (2 + values)
    ends = [np.array(column, dtype=np.intp) for column in columns[:2]]
    return ends + [np.array(column, dtype=kind) for column in columns[2:]]


def across(volts: Numbers, a: Numbers, b: Numbers) -> Numbers:
    """The voltage of a against b. `volts` has the reference as its last row."""
    found: Numbers = volts[a] - volts[b]
    return found


def feed_current(feeds: Feeds, volts: Numbers) -> Numbers:
    """What each source gives, A; negative where it is charged."""
    found: Numbers = feeds.y_s * (feeds.emf_v - across(volts, feeds.b, feeds.a))
    return found


def load_current(loads: Loads, volts: Numbers, current_a: Numbers, power_w: Numbers) -> Numbers:
    """What each load draws at these voltages, A. `current_a` and `power_w` may be matrices, a column a condition."""
    over = across(volts, loads.a, loads.b)
    with np.errstate(divide="ignore", invalid="ignore"):
        return drawn(over, current_a, power_w)


def drawn(over: Numbers, current_a: Numbers, power_w: Numbers) -> Numbers:
    """The current of loads that have the voltage `over` across them, A. Without voltage it is not a number."""
    if over.dtype.kind == "c":
        return np.asarray(current_a * over / np.abs(over) + np.conj(power_w / over))
    return np.asarray(current_a + power_w / over)
