"""Where a thing is: its compartment and box on the boat, and its zone on the sheets with the name a link jumps to."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from engine.drawing.crossref import Standing, standings
from engine.graph.boat import Boat
from engine.model.document import Document
from engine.model.network import Part


class Places(msgspec.Struct, frozen=True):
    """Where the parts of one document stand."""

    boat: Boat
    found: Mapping[str, list[Standing]]

    def aboard(self, part: Part) -> str:
        """ "Saloon, hinged panel"; nothing where the drawing does not say."""
        space, box = self.boat.compartments.get(part.compartment), self.boat.enclosures.get(part.enclosure)
        return ", ".join(each.name for each in (space, box) if each is not None)

    def space(self, part: Part) -> str:
        """Its compartment alone."""
        space = self.boat.compartments.get(part.compartment)
        return space.name if space else ""

    def zone(self, part: Part) -> str:
        """The sheet and zone of the part's first place, "1.B4"; nothing where it is not drawn."""
        standing = self.found.get(part.id)
        return standing[0].reference if standing else ""

    def anchor(self, part: Part) -> str:
        """What a link to that place is called; nothing where it is not drawn."""
        standing = self.found.get(part.id)
        return standing[0].anchor if standing else ""


def places_of(document: Document, boat: Boat) -> Places:
    """The places of a document."""
    return Places(boat, standings(document))
