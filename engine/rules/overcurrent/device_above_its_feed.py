"""Can each device ever be the one that opens, or does a smaller one before it always open first?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat, Earlier
from engine.graph.flows import NOTHING, UNLIMITED, Feed, Held, brought
from engine.graph.poles import Node
from engine.model.kept import Kept, Whole
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import Device, devices
from engine.rules.protected import item_name, item_text
from engine.rules.protection import devices_by_key, key_lacks

BASIS = (
    Basis("any", "common practice, no source", "The device nearest to a fault opens first; a branch is not rated above what feeds "
          "it.", "practice"),
)  # fmt: skip


@rule(
    "device-above-its-feed",
    title="Device larger than the one before it",
    books=("any",),
    basis=BASIS,
    wordings={
        "never-opens-first": Wording(
            severity="advice",
            sentence="{device} is rated {rated} A, above the {feed} that feeds it: it never opens first.",
            remedy="Fit a smaller device here, sized for this circuit's conductor and load.",
            formula="{rated} A > {feed}",
        )
    },
    needs="Rating of each device and of those before it.",
)
def device_above_its_feed(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fault in one circuit should take down that circuit alone. A device that is larger than the one before it does
    nothing: the whole panel goes dark in its place, and whoever looks at its rating thinks the circuit has that much."""
    most, least = boat.held_fitted, boat.held_fitted_least
    parts = _PARTS.of("", boat.carry_parts(_device_parts))
    for device, landings in _fed(boat):
        if landings is None:
            continue
        rated = boat.rating_of(device.edge)
        arriving = tuple([tuple([(most[core], least[core], at_b) for core, at_b in side]) for side in landings])
        met = _MET.of(device.key, (device.key, rated, arriving, parts))
        if met is not None:
            yield met
            continue
        sides = [brought(side) or (NOTHING, NOTHING) for side in arriving]
        if any(worst.by for worst, _ in sides):
            yield _judge(boat, device, [worst for worst, _ in sides], [best for _, best in sides])


Landings = tuple[tuple[tuple[tuple[str, str], bool], ...], ...]
Arriving = tuple[tuple[Held, Held, bool], ...]


Fed = tuple[tuple[Device, Landings | None], ...]


def _fed(boat: Boat) -> Fed:
    """Every device with the cores that come to its two sides, inside a panel to the panel's feed, and whether with the end b of
    their run; None where nothing is wired behind it."""
    return boat.carry_on("fed devices", lambda earlier: _landings(boat) if earlier is None else _still(boat, earlier))


def _landings(boat: Boat) -> Fed:
    return tuple([(device, _sides(boat, device)) for device in devices(boat)])


def _still(boat: Boat, earlier: Earlier[Fed]) -> Fed:
    """The same where parts are wired otherwise."""
    return tuple([
        (device, _sides(boat, device) if device.a[0] in earlier.parts else sides)
        for device, (_, sides) in zip(devices(boat), earlier.made, strict=True)
    ])  # fmt: skip


def _sides(boat: Boat, device: Device) -> Landings | None:
    return (_landing(boat, device.a), _landing(boat, device.b)) if boat.runs_at.get(device.b[:2]) else None


def _landing(boat: Boat, node: Node) -> tuple[tuple[tuple[str, str], bool], ...]:
    at = (node[0], "feed" if node[1] == "bus" else node[1])
    return tuple(
        ((run.id, node[2]), (run.b.part, run.b.port) == at) for run in boat.runs_at.get(at, ()) if node[2] in run.poles
    )


def _device_parts(boat: Boat) -> frozenset[str]:
    """The keys of the parts that are devices or hold them."""
    return frozenset(f"part:{part.id}" for part in boat.with_role("protection", "dc_panel", "ac_panel"))


def _met(facts: tuple[str, Quantity, tuple[Arriving, ...], Whole[frozenset[str]]]) -> Outcome | None:
    """That the device is surely no larger than what is before it."""
    key, rated, arriving, parts = facts
    sides = [brought(side) or (NOTHING, NOTHING) for side in arriving]
    if not any(worst.by for worst, _ in sides):
        return None
    least = _by_devices(parts.value, max((best for _, best in sides), key=lambda each: each.current_a))
    if high(rated) > least.current_a:
        return None
    return judged("never-opens-first", (key,), safe=True, hopeless=False)


_MET = Kept(_met)
_PARTS: Kept[frozenset[str], Whole[frozenset[str]]] = Kept(Whole)


def _judge(boat: Boat, device: Device, worst: list[Feed], best: list[Feed]) -> Outcome:
    rated, parts = boat.rating_of(device.edge), boat.carry_parts(_device_parts)
    feed, least = (_by_devices(parts, max(side, key=lambda each: each.current_a)) for side in (worst, best))
    safe = high(rated) <= least.current_a
    hopeless = low(rated, 0.0) > feed.current_a
    return judged(
        "never-opens-first",
        (device.key,),
        safe=safe,
        hopeless=hopeless,
        lacks=() if safe or hopeless else _lacks(boat, device, [*worst, *best]),
        values=lambda: {
            "device": item_name(boat, device.key),
            "rated": low(rated, 0.0),
            "feed": " + ".join(item_text(boat, key, amount) for key, amount in feed.by),
        },
    )


def _by_devices(parts: frozenset[str], feed: Feed) -> Feed:
    """What the devices let arrive, whatever the sources give; without limit where there is none."""
    if all(not key.startswith("part:") or key in parts for key, _ in feed.by):
        return feed
    return Feed(feed.behind[1], (feed.behind,)) if feed.behind else Feed(UNLIMITED)


def _lacks(boat: Boat, device: Device, feeds: list[Feed]) -> tuple[str, ...]:
    known = devices_by_key(boat)
    passed = [(*feed.by, feed.behind) if feed.behind else feed.by for feed in feeds]
    own = () if is_exact(boat.rating_of(device.edge)) else (f"{device.key} rating_a",)
    return (*own, *(lack for by in passed for key, _ in by for lack in key_lacks(boat, key, known, False)))
