"""Finding records by id or designation. Plain dictionaries, made where they are needed."""

from __future__ import annotations

from engine.model.network import Network, Part, Run


def parts_by_id(network: Network) -> dict[str, Part]:
    """Every part by its id."""
    return {part.id: part for part in network.parts}


def runs_by_id(network: Network) -> dict[str, Run]:
    """Every run by its id."""
    return {run.id: run for run in network.runs}


def runs_at(network: Network) -> dict[tuple[str, str], list[Run]]:
    """The runs that land on each (part id, port)."""
    landing: dict[tuple[str, str], list[Run]] = {}
    for run in network.runs:
        for end in (run.a, run.b):
            landing.setdefault((end.part, end.port), []).append(run)
    return landing


def part_named(network: Network, designation: str) -> Part | None:
    """The part with this designation."""
    return next((part for part in network.parts if part.designation == designation), None)
