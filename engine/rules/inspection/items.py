"""The questions of the inspection list as engine/data holds them. Knows no boat."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache

import msgspec

from engine.electrics.tables import DATA
from engine.rules.api import Book, Severity


class Item(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One question for eyes, a hand or a meter."""

    id: str
    subject: str
    """What it is asked of: one of the words that questions.py knows."""
    severity: Severity
    """How grave a "no" is."""
    question: str
    how: str
    """How to look, and what counts."""
    unit: str = ""
    """Unit of what is measured; "" where the answer is yes or no."""
    most: Mapping[Book, float] = {}
    """Largest value that each rulebook accepts, in the unit."""


class _File(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    item: tuple[Item, ...]


@cache
def items() -> tuple[Item, ...]:
    """Every question, in the order of the file."""
    text = (DATA / "inspection_items.toml").read_text(encoding="utf-8")
    return msgspec.convert(tomllib.loads(text), _File).item


@cache
def item_named(item_id: str) -> Item | None:
    """The question of that id; None where this version asks no such question."""
    return next((item for item in items() if item.id == item_id), None)
