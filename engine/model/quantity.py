"""What a field can hold: a number, a range, or unknown; never a silent default. Knows nothing of boats."""

from __future__ import annotations

import math

Quantity = float | tuple[float, float] | None
"""A number, a range (low, high) or unknown (None), in the unit its field name says."""

Value = float | tuple[float, float] | bool | str | None
"""What a part's values may hold: a quantity, a flag, a text (choices included) or unknown."""


def low(quantity: Quantity, floor: float = -math.inf) -> float:
    """The least the quantity can be; `floor` when unknown."""
    if quantity is None:
        return floor
    return quantity[0] if isinstance(quantity, tuple) else quantity


def high(quantity: Quantity, ceiling: float = math.inf) -> float:
    """The most the quantity can be; `ceiling` when unknown."""
    if quantity is None:
        return ceiling
    return quantity[1] if isinstance(quantity, tuple) else quantity


def is_exact(quantity: Quantity) -> bool:
    """True for a single number."""
    return isinstance(quantity, (int, float))


def as_quantity(value: Value) -> Quantity:
    """The value read as a quantity; texts and flags are unknown."""
    if isinstance(value, (bool, str)):
        return None
    return value


def above_nothing(quantity: Quantity) -> Quantity:
    """A rating, a voltage or a resistance as it can be: what may be nothing at all is not known."""
    return quantity if low(quantity, 0.0) > 0 else None


def overlap(a: Quantity, b: Quantity, tolerance: float = 1e-9) -> bool:
    """Whether the two statements can both be true."""
    return low(a) <= high(b) + tolerance and low(b) <= high(a) + tolerance
