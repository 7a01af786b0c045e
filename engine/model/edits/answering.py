"""Taking the answers of an inspection into the document."""

from __future__ import annotations

from engine.model.document import Document
from engine.model.edits.records import EditRefused, with_network
from engine.model.invariants import is_aboard
from engine.model.network import Answer


def answer(document: Document, given: Answer) -> Document:
    """The document with the answer, in place of an earlier one to the same question. Refuses a thing that is not there."""
    if not is_aboard(document.network, given.subject):
        raise EditRefused("no-such-record", {"id": given.subject})
    kept = unanswer(document, given.item, given.subject).network.answers
    return with_network(document, answers=(*kept, given))


def unanswer(document: Document, item: str, subject: str) -> Document:
    """The document without an answer to the question about the subject."""
    old = document.network.answers
    kept = tuple(each for each in old if (each.item, each.subject) != (item, subject))
    return document if len(kept) == len(old) else with_network(document, answers=kept)
