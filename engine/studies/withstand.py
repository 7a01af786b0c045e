"""What a conductor stands against what its nearest device lets through on a short circuit: k²S² against I²t.

Asked only where it matters: from the current on that would heat the conductor to its limit within 5 s (below, heat is lost to
the air and the allowed current is the measure). At each current of the fault range the device's limits are held against the
conductor's. What the drawing leaves open about the insulation is carried as the lowest and the highest k. Knows no rule.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

import msgspec

from engine.electrics.sizes import parse_size
from engine.electrics.sources import ElectricsError
from engine.electrics.time_current import (
    ADIABATIC_MOST_S,
    Band,
    Opening,
    Withstand,
    currents,
    energy_text,
    most_energy,
    opening_of,
    time_text,
    withstand,
    withstand_cross_linked,
)
from engine.messages import tr
from engine.model.network import Run
from engine.model.quantity import high, low

if TYPE_CHECKING:
    from engine.studies.protection import Fault

Verdict = Literal["holds", "burns", "open"]
"""burns: at some current it surely reaches its limit before the device may open. open: no table tells."""
COOLEST_C, HOTTEST_C = 60.0, 105.0
"""Temperature classes that an unknown insulation may have, as the rulebooks' tables list them."""
BOUNDLESS_A = 1e6
"""Taken for a largest current without an upper bound: more than any boat's batteries give."""

LONG_S = 60.0
"""An upper limit beyond the table that says little: it is only mentioned."""


class Hold(msgspec.Struct, frozen=True):
    """The answer for one fault. `stands` has the lowest k that the insulation may have, `at_best` the highest."""

    verdict: Verdict
    stands: Withstand
    at_best: Withstand
    let_through_a2s: float
    """The most that the device lets through where it surely opens within 5 s; infinite: nowhere promised."""
    at_a: float
    """The current that decides: where it fails, where it cannot be told, or where most is let through."""
    opens: Opening
    """When the device opens at that current."""
    guarded: bool = True
    """Whether there is a device at all."""


def stands(run: Run) -> tuple[Withstand, Withstand] | None:
    """What the run's conductors stand at the least and at the most; None where the size or such insulation is not known."""
    classes = (low(run.insulation_c, COOLEST_C), high(run.insulation_c, HOTTEST_C))
    if not run.size:
        return None
    try:
        area = parse_size(run.size).area_mm2
        least = min((withstand(area, at_c) for at_c in classes), key=lambda each: each.k)
    except ElectricsError:
        return None
    return least, withstand_cross_linked(area)


def hold_of(fault: Fault) -> Hold | None:
    """Whether the conductor of a fault stands what its nearest device lets through; None where its size is not known."""
    found = stands(fault.run)
    if found is None:
        return None
    bands = fault.guards[0].bands if fault.guards else ()
    hold = held(bands, *found, fault.least_a, min(fault.most_a, BOUNDLESS_A))
    return msgspec.structs.replace(hold, guarded=bool(fault.guards))


def held(bands: Sequence[Band], least: Withstand, best: Withstand, from_a: float, to_a: float) -> Hold:
    """The same for any device and conductor over a range of currents, A."""
    let, let_a = most_energy(bands, from_a, to_a)
    doubt: Hold | None = None
    for at in _asked(bands, (least, best), from_a, to_a):
        opens = opening_of(bands, at)
        if opens.least_s > best.seconds(at) and best.seconds(at) <= ADIABATIC_MOST_S:
            return Hold("burns", least, best, let, at, opens)
        if opens.most_s > least.seconds(at) and doubt is None:
            doubt = Hold("open", least, best, let, at, opens)
    return doubt or Hold("holds", least, best, let, let_a, opening_of(bands, let_a))


def _asked(bands: Sequence[Band], both: Sequence[Withstand], from_a: float, to_a: float) -> tuple[float, ...]:
    """The currents worth asking: where a limit turns, and where the conductor first reaches its limit within 5 s."""
    starts = [each.most_a(ADIABATIC_MOST_S) for each in both]
    begin = max(from_a, starts[0])
    if begin > to_a or not math.isfinite(to_a):
        return ()
    turns = (begin, *(at for at in starts[1:] if begin < at < to_a), *currents(bands, begin, to_a))
    return tuple(sorted(dict.fromkeys(turns)))


def opens(at: Opening) -> str:
    """When, in words that follow a device; what a table does not promise is said so."""
    if at.never:
        return tr("not at all")
    if at.most_s == math.inf:
        return tr("no table says how soon") if at.least_s <= 0 else tr("not before {s}").format(s=time_text(at.least_s))
    if not at.within and at.most_s > LONG_S:
        return tr("no table says how soon (within {s} in any case)").format(s=time_text(at.most_s))
    if at.least_s <= 0:
        return tr("within {s}").format(s=time_text(at.most_s))
    return tr("after {least} to {most}").format(least=time_text(at.least_s), most=time_text(at.most_s))


def amps(current_a: float) -> str:
    """A fault current to three figures."""
    return f"{float(f'{current_a:.3g}'):.0f}" if current_a >= 100 else f"{current_a:.3g}"


def hold_text(held: Hold | None) -> str:
    """The answer in words, with the numbers."""
    if held is None:
        return tr("The conductor: its size or its insulation is not known, so what it stands is not either.")
    values = {
        "formula": held.stands.formula, "let": energy_text(held.let_through_a2s), "at": amps(held.at_a),
        "opens": opens(held.opens), "stands": time_text(held.stands.seconds(held.at_a)),
        "best": time_text(held.at_best.seconds(held.at_a)),
    }  # fmt: skip
    if held.verdict == "burns":
        told = tr(
            "The conductor does not stand it: {best} at {at} A at the most; its device: {opens}; k²S² = {formula}."
        )
    elif held.verdict == "open" and not held.guarded:
        told = tr(
            "Nothing opens, and at {at} A the conductor reaches its limit after {stands}, or later; k²S² = {formula}."
        )
    elif held.verdict == "open":
        told = tr(
            "No table tells whether the conductor stands it: {stands} at {at} A; its device: {opens}; k²S² = {formula}."
        )
    elif held.let_through_a2s == math.inf:
        told = tr(
            "The conductor stands it: no current of the range heats it to its limit within 5 s; k²S² = {formula}."
        )
    else:
        told = tr("The conductor stands it: let through is at most {let}; k²S² = {formula}.")
    return told.format(**values)
