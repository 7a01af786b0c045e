"""Going through a sheet by keyboard: parts and ports in reading order, along a run to its other end. Pure."""

from __future__ import annotations

from collections.abc import Collection

from engine.drawing.sheet import SheetDrawing
from engine.model.network import End, Network

BAND_MM = 10.0
"""What starts within one band counts as one line of reading."""


def parts_in_order(drawing: SheetDrawing) -> list[str]:
    """Keys of the parts on the sheet, line by line from the top, each from left to right."""
    parts = [(box, key) for key, box in drawing.boxes.items() if key.startswith("part:")]
    return [key for box, key in sorted(parts, key=lambda entry: (entry[0][1] // BAND_MM, entry[0][0], entry[1]))]


def ports_in_order(drawing: SheetDrawing) -> list[End]:
    """The ports on the sheet, part by part, each part's from the top, left to right."""
    rank = {key: number for number, key in enumerate(parts_in_order(drawing))}
    spots = sorted(
        drawing.ports.items(),
        key=lambda entry: (rank.get(f"part:{entry[0][0]}", 0), entry[1].y_mm, entry[1].x_mm, entry[0][1]),
    )
    return [End(part=part, port=port) for (part, port), _ in spots]


def next_part(drawing: SheetDrawing, selected: Collection[str], step: int) -> str | None:
    """The part after (step 1) or before (step -1) the selected one in reading order, round and round."""
    order = parts_in_order(drawing)
    at = [number for number, key in enumerate(order) if key in selected]
    if not order:
        return None
    if not at:
        return order[0 if step > 0 else -1]
    return order[((at[-1] if step > 0 else at[0]) + step) % len(order)]


def along(network: Network, selected: Collection[str], came_from: str) -> str | None:
    """One step along the wiring: from a part to its run, from a run to the end other than `came_from` (a key).

    A part that was reached by a run goes on by its next run, so that repeating it walks through a boat.
    """
    if len(selected) != 1:
        return None
    key = next(iter(selected))
    kind, _, record_id = key.partition(":")
    if kind == "run":
        ends = [f"part:{end.part}" for run in network.runs if run.id == record_id for end in (run.a, run.b)]
        return next((end for end in reversed(ends) if end != came_from), None)
    part_id = record_id.partition("/")[0]
    runs = [f"run:{run.id}" for run in network.runs if part_id in (run.a.part, run.b.part)]
    if came_from in runs:
        return runs[(runs.index(came_from) + 1) % len(runs)]
    return runs[0] if runs else None
