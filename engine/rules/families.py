"""To which series of standard ratings a fuse or breaker belongs, by its kind. Knows kinds and series, no boat."""

from __future__ import annotations

from collections.abc import Mapping

from engine.electrics.protection import standard_ratings
from engine.graph.poles import Edge

FAMILY_OF_KIND: Mapping[str, str] = {
    "fuse_blade": "blade",
    "fuse_carrier": "blade",
    "fuse_bolt": "anl",
    "fuse_class_t": "class-t",
    "fuse_post": "battery-terminal",
    "breaker": "panel-breaker",
    "breaker_2": "panel-breaker",
    "breaker_ac": "panel-breaker",
    "breaker_ac_2": "panel-breaker",
    "breaker_ac_3": "panel-breaker",
    "breaker_ac_split": "panel-breaker",
    "rcbo": "mcb",
    "rcbo_split": "mcb",
}


def family_of(edge: Edge) -> str:
    """The series of a device, in a panel by whether it is a fuse or a breaker."""
    if edge.part is not None and edge.part.kind in FAMILY_OF_KIND:
        return FAMILY_OF_KIND[edge.part.kind]
    return "blade" if edge.kind == "fuse" else "panel-breaker"


def largest_made(edge: Edge) -> float:
    """The largest rating made in the device's series, A: no holder of an unknown pattern takes more."""
    return standard_ratings(family_of(edge))[-1]
