"""Is each fuse and breaker large enough for the current that flows through it in service?"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.graph.boat import Boat
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.devices import Device, devices_beside, every_device, flow_through
from engine.rules.each import Turn, demand_of, of_each
from engine.rules.protected import item_name

BASIS = (
    Basis("any", "common practice, no source", "A device that is smaller than its steady load opens in service.", "practice"),
)  # fmt: skip


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return devices_beside(turn, turn.differing(demand_of))


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
@of_each(every_device, _touched)
def device_below_load(boat: Boat, book: Book, device: Device) -> Iterator[Outcome]:
    """A fuse that is smaller than its load opens when it is needed, or is soon replaced by a larger one that nobody has
    worked out. All loads beyond it are counted with their running current at once."""
    rated, load = boat.rating_of(device.edge), flow_through(boat, device)
    yield judged(
        "opens-in-service",
        (device.key,),
        safe=load.most <= low(rated, 0.0),
        hopeless=load.least > high(rated),
        lacks=(*(() if is_exact(rated) else (f"{device.key} rating_a",)), *load.lacks),
        values=lambda: {"device": item_name(boat, device.key), "rated": high(rated, 0.0), "load": load.text},
    )
