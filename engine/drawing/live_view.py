"""What is live, as annotation of a sheet: runs of the same sources are one feed with a letter; what goes dead is framed.

Knows the boat and what is live in it; nothing of how a feed looks (overlay.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from engine.drawing.annotate import Annotation
from engine.drawing.overlay import DEAD
from engine.graph.boat import LIVE_POLES, Boat
from engine.graph.live import Live
from engine.messages import tr
from engine.model.network import Part


def live_annotation(boat: Boat, shown: Live, only: str = "") -> Annotation:
    """The feeds of the boat. `only`: the id of one source; what is live from others alone is then drawn as dead."""
    fed = {
        run.id: _fed(shown.runs.get(run.id, frozenset()), only) for run in boat.network.runs if _can_be_live(run.poles)
    }
    feeds = feeds_of(boat, fed.values())
    numbers = {sources: number for number, sources in enumerate(feeds)}
    texts = tuple(tr("live from {sources}").format(sources=designations(boat, sources)) for sources in feeds)
    return Annotation(feeds=texts, live={run: numbers.get(sources, DEAD) for run, sources in fed.items()})


def _can_be_live(poles: Iterable[str]) -> bool:
    return bool(LIVE_POLES.intersection(poles))


def _fed(sources: frozenset[str], only: str) -> frozenset[str]:
    if not only:
        return sources
    return frozenset({only}) if only in sources else frozenset()


def feeds_of(boat: Boat, fed: Iterable[frozenset[str]]) -> tuple[frozenset[str], ...]:
    """The different sets of sources, in the order of the parts; the single ones first."""
    order = {part.id: number for number, part in enumerate(boat.network.parts)}
    sets = {sources for sources in fed if sources}
    return tuple(sorted(sets, key=lambda sources: (len(sources), sorted(order[each] for each in sources))))


def designations(boat: Boat, sources: Iterable[str]) -> str:
    """The sources by designation, in the order of the parts: "G1, G2, T1"."""
    wanted = set(sources)
    return ", ".join(part.designation or part.id for part in boat.network.parts if part.id in wanted)


def dead_annotation(shown: Annotation, dead: Iterable[Part], less: Mapping[str, str], opened: str) -> Annotation:
    """The same with what one open device takes with it: `dead` loads, loads by id with the sources they lose."""
    frames = {f"part:{part.id}": tr("goes dead") for part in dead}
    frames |= {f"part:{part}": tr("loses {sources}").format(sources=sources) for part, sources in less.items()}
    frames[opened] = tr("open")
    return msgspec.structs.replace(shown, frames=frames)


def with_positions(shown: Annotation, positions: Mapping[str, str]) -> Annotation:
    """The same with the position of each switch beside it; `positions` by part id."""
    return msgspec.structs.replace(shown, beside={f"part:{part}": state for part, state in positions.items()})
