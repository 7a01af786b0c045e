"""Where a number comes from, what was noted on the way, and how an electrical function refuses.

Every result of this package carries its sources, so that a reader can be shown "from memory, unconfirmed".
This module knows no table and no formula.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Status = Literal["published", "secondary", "memory", "computed"]
"""published: read in the document itself; secondary: read in a quotation or reprint; memory: recalled, not confirmed;
computed: worked out from a source that is named."""

STATUSES: tuple[Status, ...] = ("published", "secondary", "computed", "memory")
"""Strongest first."""

Rulebook = Literal["33cfr183", "e11", "iso13297"]
"""The law (33 CFR 183 Subpart I), the US voluntary standard (ABYC E-11) and the international one (ISO 13297)."""

RULEBOOKS: tuple[Rulebook, ...] = ("33cfr183", "e11", "iso13297")


class Source(msgspec.Struct, frozen=True):
    """One document that a number rests on, the table or clause in it, and how well it is known."""

    document: str
    table: str
    status: Status


class Note(msgspec.Struct, frozen=True):
    """Something the reader must be told about a result: a code, the English sentence, and the texts put into it."""

    code: str
    text: str
    values: tuple[str, ...] = ()


class ElectricsError(ValueError):
    """A question these functions cannot answer. `code` is stable; `values` are the texts put into the sentence."""

    def __init__(self, code: str, sentence: str, **values: str) -> None:
        super().__init__(sentence.format(**values))
        self.code = code
        self.values = values


def weakest_status(sources: tuple[Source, ...]) -> Status:
    """The status of the least certain source; a result is no surer than that. "memory" when there is none."""
    if not sources:
        return "memory"
    return max((source.status for source in sources), key=STATUSES.index)


def number_text(value: float) -> str:
    """A number as it stands in a formula text: up to six figures, no trailing zeros, never an exponent below 1e9.

    >>> number_text(30.6), number_text(60.0), number_text(0.0164), number_text(133076.5)
    ('30.6', '60', '0.0164', '133076')
    """
    if value != 0 and abs(value) < 1e-4:
        return f"{value:.3g}"
    decimals = 0 if abs(value) >= 1e5 else 5 if abs(value) < 1 else 4 if abs(value) < 100 else 2
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
