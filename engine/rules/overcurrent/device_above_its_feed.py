"""Can each device ever be the one that opens, or does a smaller one before it always open first?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.graph.flows import NOTHING, UNLIMITED, Feed
from engine.graph.poles import Node
from engine.model.quantity import high, is_exact, low
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
    for device in boat.derive(devices):
        sides = [_arriving(boat, node) for node in (device.a, device.b)]
        if any(worst.by for worst, _ in sides) and boat.runs_at.get(device.b[:2]):
            yield _judge(boat, device, [worst for worst, _ in sides], [best for _, best in sides])


def _arriving(boat: Boat, node: Node) -> tuple[Feed, Feed]:
    """What arrives at a device from the runs on one side; inside a panel from the panel's feed."""
    port = "feed" if node[1] == "bus" else node[1]
    return boat.currents.fed_by(boat.parts[node[0]], port, node[2]) or (NOTHING, NOTHING)


def _judge(boat: Boat, device: Device, worst: list[Feed], best: list[Feed]) -> Outcome:
    rated = boat.rating_of(device.edge)
    feed, least = (_by_devices(boat, max(side, key=lambda each: each.current_a)) for side in (worst, best))
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


def _by_devices(boat: Boat, feed: Feed) -> Feed:
    """What the devices let arrive, whatever the sources give; without limit where there is none."""
    if all(not key.startswith("part:") or _is_device(boat, key) for key, _ in feed.by):
        return feed
    return Feed(feed.behind[1], (feed.behind,)) if feed.behind else Feed(UNLIMITED)


def _lacks(boat: Boat, device: Device, feeds: list[Feed]) -> tuple[str, ...]:
    known = devices_by_key(boat)
    passed = [(*feed.by, feed.behind) if feed.behind else feed.by for feed in feeds]
    own = () if is_exact(boat.rating_of(device.edge)) else (f"{device.key} rating_a",)
    return (*own, *(lack for by in passed for key, _ in by for lack in key_lacks(boat, key, known, False)))


def _is_device(boat: Boat, key: str) -> bool:
    part = boat.parts.get(key.partition(":")[2])
    return part is not None and boat.role(part) in ("protection", "dc_panel", "ac_panel")
