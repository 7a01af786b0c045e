"""Rule few-free-ways."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.house import limits_of
from engine.rules.api import Book, Outcome, Wording, breaks, meets, rule
from engine.rules.house.basis import OWN


@rule(
    "few-free-ways",
    title="Panel with fewer free ways than the yard wants",
    books=("any",),
    basis=OWN,
    wordings={
        "too-few": Wording(
            "advice",
            "{panel} has {free} free of {ways} ways; the yard wants {share} of them free: {reason}.",
            "Take a larger panel, or put circuits together.",
            "{free} / {ways} < {share}",
        )
    },
    needs="The ways of each panel and which are spare or prepared.",
)
def few_free_ways(boat: Boat, book: Book) -> Iterator[Outcome]:
    """In three years the owner has added a freezer, a second plotter and a watermaker. Where the panel is full, they end up
    on one breaker, or straight on the battery."""
    limit = limits_of(boat.network.house).get("spare-ways-share")
    if limit is None:
        return
    for panel in boat.with_role("dc_panel", "ac_panel"):
        free = sum(way.state in ("spare", "prepared") for way in panel.positions)
        ways = sum(way.state != "blank" for way in panel.positions)
        if not ways or free >= limit.value * ways:
            yield meets("too-few", f"part:{panel.id}")
        else:
            yield breaks(
                "too-few", f"part:{panel.id}", panel=boat.name(panel), free=free, ways=ways, share=limit.value,
                reason=limit.reason,
            )  # fmt: skip
