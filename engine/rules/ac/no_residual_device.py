"""Rule no-residual-device."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, quantity
from engine.messages import enumerated
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.ac.leads import FEET_10_M, Lead, leads
from engine.rules.ac.system import AcSource, AcSystem, Residual, ac_of, has_value, reach_up_to, shown
from engine.rules.api import Basis, Book, Outcome, Parameter, Shown, Wording, breaks, cannot_tell, meets, rule
from engine.rules.bounds import judged

TRIP_MA, TRIP_MS = 30.0, 100.0


@rule(
    "no-residual-device",
    title="AC system without a residual-current device before everything",
    books=("e11", "iso13297"),
    basis=(
        Basis(
            "e11",
            "ABYC E-11.11.1, as dealers and a magazine quote it",
            "A residual-current device of at most 30 mA and 100 ms with the main shore breaker, or at the additional breaker "
            "within 10 ft of the inlet; not needed with an isolation transformer within 10 ft of the inlet.",
            "secondary",
        ),
        Basis(
            "iso13297",
            "ISO 13297:2020",
            "The craft's AC is protected by a double-pole residual-current device, 30 mA, 100 ms, near the source.",
            "memory",
        ),
    ),
    wordings={
        "no-device": Wording(
            "danger",
            "No residual-current device stands between {source} and all that it feeds: {bare} would not be cut off by "
            "leakage.",
            "Fit a two-pole residual-current device of 30 mA and 100 ms close to {source}, before everything else.",
        ),
        "before-device": Wording(
            "danger",
            "{load} is fed from {source} ahead of the residual-current device {device}.",
            "Feed {load} from behind {device}.",
        ),
        "too-coarse": Wording(
            "danger",
            "{device} trips at {trip} mA; at most {limit} mA protect a person.",
            "Fit a residual-current device of at most {limit} mA.",
            "{trip} mA > {limit} mA",
        ),
        "too-slow": Wording(
            "danger",
            "{device} trips after {trip} ms; at most {limit} ms are allowed.",
            "Fit a residual-current device that trips within {limit} ms.",
            "{trip} ms > {limit} ms",
        ),
        "too-far": Wording(
            "requirement",
            "The residual-current device {device} is {length} m from {source} along the conductor; {limit} m are allowed.",
            "Move {device} to within {limit} m of {source}.",
            "{length} m > {limit} m",
        ),
        "neutral-bypasses": Wording(
            "danger",
            "The neutral of {load} returns to {source} beside the residual-current device {device}, which then trips at "
            "once or has been defeated.",
            "Lead the neutral of {load} back through {device}; keep the neutral buses before and after it apart.",
        ),
    },
    parameters=(
        Parameter("trip_ma", TRIP_MA, "mA", "ABYC E-11.11.1, quoted second hand", "secondary"),
        Parameter("trip_ms", TRIP_MS, "ms", "ABYC E-11.11.1, quoted second hand", "secondary"),
        Parameter("distance", FEET_10_M, "m", "ABYC E-11.11.1, quoted second hand (10 ft)", "secondary"),
    ),
    needs="The residual-current devices with trip current and time, and the lengths from the inlet.",
)
def no_residual_device(boat: Boat, book: Book) -> Iterator[Outcome]:
    """Thirty thousandths of an ampere through the water beside a leaking boat paralyse a swimmer. Nothing but a
    residual-current device near the inlet sees a current that small."""
    ac = ac_of(boat)
    kinds = ("shore",) if book == "e11" else ("shore", "generator", "transformer")
    for source in ac.of_kind(*kinds):
        found = _frontier(ac, source)
        devices = {lead.key: lead for lead in found if lead.key}
        bare = [boat.parts[lead.node[0]] for lead in found if not lead.key]
        transformers = [lead for lead in found if not lead.key and boat.role(boat.parts[lead.node[0]]) == "transformer"]
        if len(transformers) == len(found) > 0:
            yield _before_transformer(boat, source, transformers[0], book)
        elif not found or (not devices and not bare):
            continue
        elif not devices or (len(devices) > 1 and (book == "e11" or bare)):
            yield _no_device(boat, source, found)
        else:
            yield from _covering(ac, source, devices, bare, book)


def _frontier(ac: AcSystem, source: AcSource) -> list[Lead]:
    """The first residual-current elements on each way, and what is reached without one."""
    walls = {node: each.key for each in ac.residuals for node in each.spans}
    return leads(ac, source, lambda edge: False, walls)


def _before_transformer(boat: Boat, source: AcSource, lead: Lead, book: Book) -> Outcome:
    """An isolation transformer close to the inlet takes the place of the device; under ISO its secondary is asked."""
    subjects = (f"part:{source.part.id}", f"part:{lead.node[0]}")
    if book != "e11":
        return meets("no-device", *subjects)
    length = lead.length
    told = {"source": boat.name(source.part), "bare": boat.name(boat.parts[lead.node[0]])}
    return judged(
        "no-device", subjects, safe=length.most <= FEET_10_M, hopeless=length.least > FEET_10_M, lacks=length.lacks,
        values=told, path=lead.path,
    )  # fmt: skip


def _no_device(boat: Boat, source: AcSource, found: list[Lead]) -> Outcome:
    names = dict.fromkeys(boat.name(boat.parts[lead.node[0]]) for lead in found)
    key = f"part:{source.part.id}"
    return breaks("no-device", key, source=boat.name(source.part), bare=enumerated(names))


def _covering(
    ac: AcSystem, source: AcSource, devices: dict[str, Lead], bare: list[Part], book: Book
) -> Iterator[Outcome]:
    for each in ac.residuals:
        if each.key in devices and devices[each.key].node in each.spans:
            yield from _fit(ac.boat, source, each, devices[each.key], book)
    first = ac.boat.name(ac.boat.parts[next(iter(devices.values())).node[0]])
    told = {"source": ac.boat.name(source.part), "device": first}
    for load in {part.id: part for part in bare}.values():
        yield breaks("before-device", f"part:{load.id}", load=ac.boat.name(load), **told)
    for load in _bypassing(ac, source, bare):
        yield breaks("neutral-bypasses", f"part:{load.id}", load=ac.boat.name(load), **told)


def _fit(boat: Boat, source: AcSource, each: Residual, lead: Lead, book: Book) -> Iterator[Outcome]:
    yield _trip(boat, each)
    yield from _time(boat, each)
    if book == "e11":
        length = lead.length
        yield judged(
            "too-far", (each.key, f"part:{source.part.id}"), safe=length.most <= FEET_10_M,
            hopeless=length.least > FEET_10_M, lacks=length.lacks, path=lead.path,
            values={
                "device": boat.name(each.part), "source": boat.name(source.part), "length": length.text,
                "limit": FEET_10_M,
            },
        )  # fmt: skip


def _trip(boat: Boat, each: Residual) -> Outcome:
    told: dict[str, Shown] = {"device": boat.name(each.part), "trip": shown(each.trip_ma), "limit": TRIP_MA}
    return judged(
        "too-coarse", (each.key,), safe=high(each.trip_ma) <= TRIP_MA, hopeless=low(each.trip_ma, 0.0) > TRIP_MA,
        lacks=(each.field,), values=told,
    )  # fmt: skip


def _time(boat: Boat, each: Residual) -> Iterator[Outcome]:
    """The trip time, where the device has a field for it; the way of a panel has none."""
    name = next((name for name in ("trip_ms", "main_trip_ms") if has_value(boat.kind(each.part), name)), "")
    if not name or "/" in each.key:
        yield cannot_tell("too-slow", each.key, lacks=(f"{each.key} trip_ms",), trip="?", limit=TRIP_MS)
        return
    trip_ms = quantity(each.part, name)
    told: dict[str, Shown] = {"device": boat.name(each.part), "trip": shown(trip_ms), "limit": TRIP_MS}
    yield judged(
        "too-slow", (each.key,), safe=high(trip_ms) <= TRIP_MS, hopeless=low(trip_ms, 0.0) > TRIP_MS,
        lacks=() if is_exact(trip_ms) else (f"{each.key} {name}",), values=told,
    )  # fmt: skip


def _bypassing(ac: AcSystem, source: AcSource, bare: list[Part]) -> Iterator[Part]:
    """Users whose line lies behind a residual-current element while their neutral comes back without passing it."""
    open_neutrals = reach_up_to(ac.neutrals, [source.neutral], ac.spanned(ac.residuals))
    behind = reach_up_to(ac.lines, source.lines, frozenset())
    told = {part.id for part in bare}
    for node, part in ac.ends.items():
        if node in behind and (node[0], node[1], "N") in open_neutrals and part.id not in told:
            told.add(part.id)
            yield part
