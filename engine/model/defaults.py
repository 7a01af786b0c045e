"""What a new part knows about itself: its kind's defaults, the empty ways of a panel. Knows no drawing, no editor."""

from __future__ import annotations

from engine.model.kind import Kind
from engine.model.network import Position
from engine.model.quantity import Value

NEW_WAYS = {"dc_panel": 8, "ac_panel": 6}
"""Ways of a new panel by role; common practice, no source. The user adds and takes away."""


def default_values(kind: Kind) -> dict[str, Value]:
    """The stated defaults of the kind by value name; a value without a default is left out, that is: unknown."""
    return {spec.name: spec.default for spec in kind.value if spec.default is not None}


def default_positions(kind: Kind) -> tuple[Position, ...]:
    """Spare ways "1" to "n" for a panel, none for anything else."""
    return tuple(Position(key=str(n), state="spare") for n in range(1, NEW_WAYS.get(kind.role, 0) + 1))
