"""What every rule of this family rests on: the yard's own word. Knows no rule."""

from __future__ import annotations

from engine.rules.api import Basis

OWN = (
    Basis(
        "any",
        "the house rules of the yard",
        "The yard asks this of its boats beyond every rulebook; each says why.",
        "practice",
    ),
)
