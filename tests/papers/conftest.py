"""The proposal of sizing takes seconds and is the same on every paper size: it is worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from unittest import mock

import pytest

from engine.library.device import Library
from engine.model.document import Document
from engine.papers import sizing_proposal
from engine.remedies.sizing import Sizing, size_boat
from engine.rules.api import Book


@pytest.fixture(scope="session", autouse=True)
def sized_once() -> Iterator[None]:
    """Within the tests of the papers, the same document is sized once."""
    known: dict[tuple[int, tuple[Book, ...] | None], tuple[Document, Sizing]] = {}

    def once(document: Document, library: Library, *, books: tuple[Book, ...] | None = None) -> Sizing:
        key = (id(document), books)
        if key not in known:
            known[key] = (document, size_boat(document, library, books=books))
        return known[key][1]

    with mock.patch.object(sizing_proposal, "size_boat", once):
        yield
