"""A planned circuit as lines that a person reads: way, device, wire, number, what decided, what is still to be found out."""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import number_text
from engine.graph.boat import Boat
from engine.messages import tr
from engine.model.network import Run
from engine.model.quantity import high
from engine.remedies.addition import Plan
from engine.remedies.limit_words import distance_text, lacking, room_text
from engine.rules.bounds import source_text
from engine.rules.wording import key_text
from engine.units import sizes_shown


def plan_lines(plan: Plan, boat: Boat) -> Iterator[str]:
    """The plan; `boat` is the one before it."""
    run = plan_run(plan)
    part = next(part for part in plan.document.network.parts if part.id == plan.part_id)
    yield tr("{load}, {amps} A, on {where}").format(
        load=f"{part.designation} {part.label}", amps=number_text(round(plan.current_a, 2)),
        where=key_text(plan.room.key, boat),
    )  # fmt: skip
    yield "  " + device_text(plan)
    yield "  " + wire_text(plan, run)
    yield "  " + tr("no thinner, since {reason}").format(reason=plan.fit.reason)
    yield "  " + tr("before it the way took {room}").format(room=room_text(boat, plan.room))
    yield from (f"    {text}" for text in plan.fit.formulas)
    yield from (f"    {source_text(source)}" for source in plan.fit.sources)
    yield "  " + tr("checked: nothing breaks that did not break before")
    yield from (f"  {text}" for text in open_lines(plan, boat))


def plan_run(plan: Plan) -> Run:
    """The new wire."""
    return next(run for run in plan.document.network.runs if run.id == plan.run_id)


def device_text(plan: Plan) -> str:
    """ "fuse 7.5 A (1.25 × 5 A; the holder takes 20 A)"."""
    fuse = plan.room.position is not None and plan.room.position.device == "fuse"
    if not fuse:
        return tr("breaker {rating} A").format(rating=number_text(plan.fit.fuse_a))
    return tr("fuse {rating} A, not below 1.25 × {amps} A; its holder takes up to {largest} A").format(
        rating=number_text(plan.fit.fuse_a),
        amps=number_text(round(plan.current_a, 2)),
        largest=number_text(plan.fit.largest_fuse_a),
    )


def wire_text(plan: Plan, run: Run) -> str:
    """ "wire 122: 10 AWG, RD/YE, 16.4 ft (5 m) one way in a sheath; loses 1.2 %"."""
    return tr("wire {number}: {size}, {colours}, {length} one way in a sheath, tinned, 105 °C; loses {drop} %").format(
        number=run.number,
        size=sizes_shown(run.size),
        colours="/".join(run.colours),
        length=distance_text(high(run.length_m), plan.document.network.particulars.units),
        drop=f"{plan.fit.drop_percent:.2g}",
    )


def open_lines(plan: Plan, boat: Boat) -> Iterator[str]:
    """What the checks could not tell of the new circuit, by field."""
    fields = tuple(dict.fromkeys(lack for finding in plan.open for lack in finding.outcome.lacks))
    if fields:
        after = Boat(plan.document.network, boat.library)
        yield tr("still to find out: {fields}").format(fields=lacking(after, fields))


__all__ = ["device_text", "open_lines", "plan_lines", "plan_run", "wire_text"]
