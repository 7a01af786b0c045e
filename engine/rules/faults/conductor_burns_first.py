"""Rule conductor-burns-first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.electrics.time_current import time_text
from engine.graph.boat import Boat
from engine.model.network import Run
from engine.rules.api import Basis, Book, Later, Outcome, Parameter, Shown, Wording, rule
from engine.rules.bounds import judged
from engine.rules.faults.shorts import nearest, possible, series_field
from engine.rules.protected import item_name
from engine.studies.fault_bounds import most_from
from engine.studies.guards import Guard
from engine.studies.withstand import BOUNDLESS_A, Hold, Verdict, held, hold_of, stands

FROM_A = 1e-3
Asked = dict[tuple[object, ...], Verdict]


@rule(
    "conductor-burns-first",
    title="Conductor that a short circuit burns before its device opens",
    books=("any",),
    basis=(
        Basis("any", "IEC 60364-4-43, 434.5.2 (from memory), applied to boats by us", "Up to 5 s a device lets through no more "
              "energy than k²S² of the conductor.", "memory"),
    ),
    wordings={
        "burns": Wording(
            "danger",
            "{run} ({size}) reaches the limit of its insulation within {stands} at {current} A; {device} opens after {least} at "
            "the soonest.",
            "Run a thicker conductor, or fit a smaller or a quicker device.",
            "({k} × {area} mm²)² / ({current} A)² = {stands} < {least}; cross-linked insulation taken, the best there is",
        )
    },
    parameters=(
        Parameter("k, least", 79.7, "A·√s/mm²", "IEC 60364-5-54, 226 √ln(1 + Δ/(234.5 + θ)), 105 °C to 150 °C", "memory"),
        Parameter("k, most", 143, "A·√s/mm²", "IEC 60364-5-54, Tables A.54.2 to A.54.6, in a technical article", "secondary"),
    ),
    needs="Size of each wire; series and rating of the device before it; what feeds it. A device for whose class no table has "
    "limits, whatever the drawing says of it, is not asked: the paper with the protection curves lists them.",
)  # fmt: skip
def conductor_burns_first(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A short circuit heats a thin wire to the limit of its insulation in a blink. If the fuse is far too large for the wire, or
    its breaker waits for an overload, the insulation melts first, and the fault spreads to what lies beside it."""
    asked: Asked = {}
    told: set[tuple[str, ...]] = set()
    for (run_id, pole), guard in nearest(boat).items():
        run = boat.runs[run_id]
        verdict = _verdict(boat, run, guard, asked)
        if verdict == "holds":
            yield Outcome(verdict="meets", code="burns", subjects=(f"run:{run.id}", guard.key))
        elif verdict == "burns":
            yield from _proven(boat, run, pole, guard)
        elif verdict == "open":
            lacks = _worth_knowing(boat, run, guard, asked)
            if lacks and lacks not in told:
                told.add(lacks)
                yield judged("burns", (f"run:{run.id}", guard.key), safe=False, hopeless=False, lacks=lacks,
                             values=_values(boat, run, guard, None))  # fmt: skip


def _verdict(boat: Boat, run: Run, guard: Guard, asked: Asked) -> Verdict | None:
    """Over every current there may be; None where nothing can be told of this device or wire."""
    if not guard.bands or not run.size:
        return None
    key = (guard.series, guard.rating_a, run.size, run.insulation_c)
    if key not in asked:
        asked[key] = _held(boat, run, guard)
    return asked[key]


def _held(boat: Boat, run: Run, guard: Guard) -> Verdict:
    known = stands(run)
    if known is None:
        return "open"
    first = held(guard.bands, *known, FROM_A, BOUNDLESS_A)
    if first.verdict == "holds" or guard.element == "fuse":
        return first.verdict
    return held(guard.bands, *known, FROM_A, min(most_from(boat), BOUNDLESS_A)).verdict


def _proven(boat: Boat, run: Run, pole: str, guard: Guard) -> Iterator[Outcome]:
    """Only if the current at which it burns can come: within the fault range of the network, with nothing missing on the way."""
    from engine.studies.protection import faults

    fault = faults(boat).get((run.id, pole))
    hold = hold_of(fault) if fault and fault.guards and fault.guards[0].key == guard.key else None
    if fault is None or hold is None:
        return
    burns = hold.verdict == "burns" and not fault.lacks
    if burns or hold.verdict == "holds":
        sources = hold.opens.sources
        yield judged("burns", (f"run:{run.id}", guard.key), safe=not burns, hopeless=burns,
                     values=_values(boat, run, guard, hold), sources=sources)  # fmt: skip


def _worth_knowing(boat: Boat, run: Run, guard: Guard, asked: Asked) -> tuple[str, ...]:
    """The field that would settle it: the series, where one that the device may be of surely holds or surely burns."""
    field = series_field(guard)
    if not field:
        return ()
    answers: set[Verdict | None] = {_verdict(boat, run, each, asked) for each in possible(guard)}
    return field if answers & {"holds", "burns"} else ()


def _values(boat: Boat, run: Run, guard: Guard, hold: Hold | None) -> Later:
    return Later(lambda: _shown(boat, run, guard, hold))


def _shown(boat: Boat, run: Run, guard: Guard, hold: Hold | None) -> Mapping[str, Shown]:
    found: dict[str, Shown] = {"run": boat.name_run(run), "size": run.size, "device": item_name(boat, guard.key)}
    if hold is None:
        return found | dict.fromkeys(("stands", "current", "least", "k", "area"), "?")
    return found | {
        "stands": time_text(hold.at_best.seconds(hold.at_a)), "current": hold.at_a, "least": time_text(hold.opens.least_s),
        "k": hold.at_best.k, "area": hold.at_best.area_mm2,
    }  # fmt: skip
