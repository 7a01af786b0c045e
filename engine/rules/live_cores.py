"""The live cores that need protection, and the runs that feed a panel: what follows from the wiring alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.graph.boat import LIVE_POLES, Boat, Earlier
from engine.graph.cranking import cranking_cores
from engine.graph.poles import Node
from engine.model.network import Run


class LiveCore(msgspec.Struct, frozen=True):
    """A live core that needs protection, and the nodes it lies between."""

    run: str
    pole: str
    a: Node
    b: Node


class LiveCores(msgspec.Struct, frozen=True):
    """Of each run its live cores that need protection: no cranking cable, no jumper inside a bank."""

    of: Mapping[str, tuple[LiveCore, ...]]
    exempt: frozenset[tuple[str, str]]


def live_cores(boat: Boat) -> Mapping[str, tuple[LiveCore, ...]]:
    """Run id -> its live cores that need protection, in the order of the runs; runs without any are left out."""
    return boat.carry_on("live cores", lambda earlier: _live_cores(boat, earlier)).of


def _live_cores(boat: Boat, earlier: Earlier[LiveCores] | None) -> LiveCores:
    """Where they were found before, again only of the runs that land where something is wired otherwise."""
    exempt = boat.carry_wiring(cranking_cores)
    if earlier is None or earlier.made.exempt != exempt:
        return LiveCores(
            _some(boat, {run.id: tuple(_cores_of(boat, run, exempt)) for run in boat.runs.values()}), exempt
        )
    at = {node[:2] for node in earlier.at}
    anew = {run.id: tuple(_cores_of(boat, run, exempt)) for place in at for run in boat.runs_at.get(place, ())}
    return LiveCores(_some(boat, {**earlier.made.of, **anew}), exempt)


def _some(boat: Boat, found: Mapping[str, tuple[LiveCore, ...]]) -> Mapping[str, tuple[LiveCore, ...]]:
    """In the order of the runs."""
    return {run: cores for run in boat.runs if (cores := found.get(run))}


def _cores_of(boat: Boat, run: Run, exempt: frozenset[tuple[str, str]]) -> Iterator[LiveCore]:
    if not _is_jumper(boat, run):
        for pole in run.poles:
            if pole in LIVE_POLES and (run.id, pole) not in exempt:
                yield LiveCore(run.id, pole, *boat.core_ends(run, pole))


def _is_jumper(boat: Boat, run: Run) -> bool:
    return all(end.part in boat.parts and boat.role(boat.parts[end.part]) == "battery" for end in (run.a, run.b))


class _Feeders(msgspec.Struct, frozen=True):
    """Runs that feed a panel, and the places (part id, port) that were looked at to find them."""

    of: Mapping[str, str]
    places: frozenset[tuple[str, str]]


def panel_feeders(boat: Boat) -> Mapping[str, str]:
    """Runs that feed a panel: run id -> the panel's id. Followed back through in-line parts up to where others join."""
    return boat.carry_on("panel feeders", lambda earlier: _feeders(boat, earlier)).of


def _feeders(boat: Boat, earlier: Earlier[_Feeders] | None) -> _Feeders:
    still = earlier is not None and not earlier.others
    if earlier is not None and still and earlier.made.places.isdisjoint(node[:2] for node in earlier.at):
        return earlier.made
    found: dict[str, str] = {}
    places: set[tuple[str, str]] = set()
    for panel in boat.carry_parts(_panels):
        places.add((panel, "feed"))
        runs = list(boat.runs_at.get((panel, "feed"), ()))
        while len(runs) == 1 and runs[0].id not in found:
            found[runs[0].id] = panel
            runs = _runs_before(boat, runs[0], found, places)
    return _Feeders(found, frozenset(places))


def _panels(boat: Boat) -> tuple[str, ...]:
    return tuple(panel.id for panel in boat.with_role("dc_panel", "ac_panel"))


def _runs_before(boat: Boat, run: Run, found: Mapping[str, str], places: set[tuple[str, str]]) -> list[Run]:
    """The one run on the other side of an in-line part at the far end of a feeder; the places looked at are added."""
    for end in (run.a, run.b):
        part = boat.parts.get(end.part)
        kind = boat.kind(part) if part else None
        if part is not None and kind is not None and end.port in kind.inline:
            others = [(part.id, port) for port in kind.inline if port != end.port]
            places.update(others)
            before = [each for place in others for each in boat.runs_at.get(place, ())]
            if len(before) == 1 and before[0].id not in found:
                return before
    return []
