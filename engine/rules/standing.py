"""What binds and what is voluntary: how each rulebook stands to one boat, and in which edition it is known here."""

from __future__ import annotations

from collections.abc import Mapping

from engine.messages import tr
from engine.model.network import Particulars
from engine.rules.api import Book

EDITIONS: Mapping[Book, str] = {
    "33cfr183": "33 CFR Part 183, Subpart I, read in its 2015 edition. It points to IEEE 45-1983, NFPA 70-1987 (articles 310 and "
    "400), SAE J378-1984, J557-1968, J1127-1980, J1128-1975 and UL 1426-1987.",
    "e11": "ABYC E-11 and its companions (A-28, A-31, A-32, E-2, E-10, E-13, TE-4): no edition was read. Clauses are known as "
    "makers, surveyors and magazines quote them, from the E-9 of 1990 to the E-13 of 2025.",
    "iso13297": "ISO 13297:2020 with its amendment of 2022, read in excerpts; where only ISO 10133:2012 was read, which it "
    "replaced, the clause says so.",
    "any": "Common practice and arithmetic, the same under every rulebook.",
}


def standing(book: Book, boat: Particulars) -> str:
    """Whether what the rulebook says is law for the boat, a voluntary standard, or neither."""
    if book == "33cfr183":
        return _law(boat)
    if book == "any":
        return tr("No rulebook's clause: asked of every boat.")
    return tr("Voluntary standard, unless a law or a contract makes it binding.")


def _law(boat: Particulars) -> str:
    """The law binds boats with petrol engines that are not outboards (33 CFR 183.401)."""
    if (boat.fuel not in ("petrol", None)) or (boat.engine not in ("inboard", None)):
        return tr("Law for boats with a petrol engine that is not an outboard; it does not bind this boat as drawn.")
    if boat.fuel is None or boat.engine is None:
        return tr("Law if the boat has a petrol engine that is not an outboard; the drawing does not say.")
    return tr("Law: it binds this boat, which has a petrol engine that is not an outboard.")
