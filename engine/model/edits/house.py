"""The house rules that a boat is checked by, and its deviations."""

from __future__ import annotations

from engine.model.document import Document
from engine.model.edits.records import EditRefused, with_network
from engine.model.house import Deviation, House
from engine.model.invariants import is_aboard


def set_house(document: Document, house: House) -> Document:
    """The document with these house rules in place of what it had."""
    return with_network(document, house=house)


def deviate(document: Document, deviation: Deviation) -> Document:
    """The document with the deviation, in place of an earlier one about the same finding.

    Refuses a thing that is not there, and one without a reason, a name and a date: nobody could answer for it.
    """
    if not is_aboard(document.network, deviation.subject):
        raise EditRefused("no-such-record", {"id": deviation.subject})
    for field in ("reason", "by", "date"):
        if not getattr(deviation, field).strip():
            raise EditRefused("deviation-without", {"field": field})
    kept = withdraw(document, deviation.rule, deviation.code, deviation.subject).network.deviations
    return with_network(document, deviations=(*kept, deviation))


def withdraw(document: Document, rule: str, code: str, subject: str) -> Document:
    """The document without the deviation from one finding of a rule about a thing."""
    old = document.network.deviations
    kept = tuple(each for each in old if (each.rule, each.code, each.subject) != (rule, code, subject))
    return document if len(kept) == len(old) else with_network(document, deviations=kept)
