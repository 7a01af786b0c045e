"""Is each fuse and breaker large enough for the current that flows through it in service?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.model.kept import Kept
from engine.model.quantity import Quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.devices import Device, Sides, carried, devices, flow_of
from engine.rules.protected import item_name

BASIS = (
    Basis("any", "common practice, no source", "A device that is smaller than its steady load opens in service.", "practice"),
)  # fmt: skip


@rule(
    "device-below-load",
    title="Fuse or breaker smaller than its load",
    books=("any",),
    basis=BASIS,
    wordings={
        "opens-in-service": Wording(
            severity="requirement",
            sentence="{device} is rated {rated} A, but {load} A flow through it in service.",
            remedy="Fit a device and a conductor for the load, or take load off the circuit.",
            formula="{load} A > {rated} A",
        )
    },
    needs="Rating of each device, current of each load.",
)
def device_below_load(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fuse that is smaller than its load opens when it is needed, or is soon replaced by a larger one that nobody has
    worked out. All loads beyond it are counted with their running current at once."""
    demand = boat.demand
    for device in devices(boat):
        rated, carry = boat.rating_of(device.edge), carried(demand, device)
        yield _MET.of(device.key, (device.key, rated, carry)) or _judge(boat, device, rated, flow_of(carry))


def _met(facts: tuple[str, Quantity, Sides]) -> Outcome | None:
    key, rated, carry = facts
    if flow_of(carry).most > low(rated, 0.0):
        return None
    return judged("opens-in-service", (key,), safe=True, hopeless=False)


_MET = Kept(_met)


def _judge(boat: Boat, device: Device, rated: Quantity, load: Bound) -> Outcome:
    return judged(
        "opens-in-service",
        (device.key,),
        safe=load.most <= low(rated, 0.0),
        hopeless=load.least > high(rated),
        lacks=(*(() if is_exact(rated) else (f"{device.key} rating_a",)), *load.lacks),
        values=lambda: {"device": item_name(boat, device.key), "rated": high(rated, 0.0), "load": load.text},
    )
