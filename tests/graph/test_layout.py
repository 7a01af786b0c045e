"""A layout that was made of the one before is the one from nothing."""

from __future__ import annotations

from random import Random

import pytest

from engine.graph.boat import Boat
from engine.graph.layout import Layout, layout_of, likeness
from engine.graph.listed import graph_of, keyed_edges_of
from tests.graph.forests import edits
from tests.samples.boats import library


@pytest.mark.parametrize("seed", range(6))
def test_a_layout_made_of_the_one_before_is_the_one_from_nothing(seed: int) -> None:
    mended, before = 0, list[Layout]()
    for network in edits(Random(seed), 40):
        made = [layout_of(strand) for strand in Boat(network, library()).graphs.strands["+"]]
        for layout in made:
            anew = Layout(graph_of(layout.graph, keyed_edges_of(layout.graph)))
            assert facts(layout) == facts(anew)
            for old in before:
                compare_likeness(old, layout, anew)
        mended += sum(layout.other is not None for layout in made)
        before = made
    assert mended > 4


def facts(layout: Layout) -> tuple[object, ...]:
    """All but the numbers of its rings and the order of bridges, of which it only counts that the inner ones come first."""
    entries = {node: layout.entries.get(layout.ring_of[node]) or [] for node in layout.graph}
    rings = {node: layout.rings[layout.ring_of[node]] for node in layout.graph}
    place = {(outer, key): number for number, (_, outer, key) in enumerate(layout.order)}
    assert all(
        place[above] < place[outer, key] for inner, outer, key in layout.order for above in place if above[0] == inner
    )
    return (
        layout.first, layout.poles, entries, rings, layout.rivals, set(layout.in_ring), layout.devices, layout.names, layout.cores,
        layout.bridges, layout.ends, set(layout.order),
    )  # fmt: skip


def compare_likeness(old: Layout, layout: Layout, anew: Layout) -> None:
    """What is known of how it was made says no less than a comparison does."""
    told, compared = likeness(old, layout), likeness(old, anew)
    assert told.gone == compared.gone
    assert told.renamed == compared.renamed
    others = [
        {node for ring in each.others for node in of.rings[ring]} for each, of in ((told, layout), (compared, anew))
    ]
    assert others[0] == others[1]
