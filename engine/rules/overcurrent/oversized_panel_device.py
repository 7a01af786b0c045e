"""Does what protects a panel's feed also protect the panel's bus?"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.graph.boat import LIVE_POLES, Boat, quantity
from engine.graph.flows import NOTHING, Feed
from engine.model.network import Part
from engine.model.quantity import as_quantity, high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Parameter, Wording, rule
from engine.rules.bounds import Bound, judged
from engine.rules.each import Turn, of_each, runs_of
from engine.rules.protected import current_text, item_text
from engine.rules.protection import devices_by_key, key_lacks

BASIS = (
    Basis("e11", "ABYC E-11", "The device at the source of a panel's feed is rated at most 100 % of the panel's capacity, or the "
          "panel has a main device of its own that is.", "memory"),
    Basis("iso13297", "common practice, no source", "A bus is protected by a device not above its rating.", "practice"),
)  # fmt: skip


def _fed_panels(boat: Boat, book: Book) -> Mapping[str, Part]:
    panels = boat.with_role("dc_panel", "ac_panel")
    return {panel.id: panel for panel in panels if boat.runs_at.get((panel.id, "feed"))}


def _touched(turn: Turn, book: Book) -> Collection[str]:
    return turn.parts_at(turn.runs | runs_of(turn.pushed_otherwise))


@rule(
    "oversized-panel-device",
    title="Panel bus not protected by its feed",
    books=("e11", "iso13297"),
    basis=BASIS,
    wordings={
        "over-bus": Wording(
            severity="requirement",
            sentence="The bus of {part} is rated {rated} A; its feed lets through more: {feed}.",
            remedy="Protect the feed with at most {rated} A, or fit a main device of at most that in the panel.",
            formula="{feed_a} > 100 % of {rated} A",
        )
    },
    parameters=(Parameter("panel feed", 100, "%", "ABYC E-11", "memory"),),
    needs="Rating of each panel's bus, of its main device and of the devices before it.",
)
@of_each(_fed_panels, _touched)
def oversized_panel_device(boat: Boat, book: Book, panel: Part) -> Iterator[Outcome]:
    """The bar of a panel carries whatever its feed lets through. When the device at the head of the feed is larger than
    the bar's rating, circuits added later overload it and nothing opens."""
    yield _judge(boat, panel)


def arriving(boat: Boat, panel: Part, most: bool) -> Feed:
    """What can be pushed through the runs that feed a panel, the largest of its lines."""
    table = boat.held_fitted if most else boat.currents.held_fitted_least
    feeds = [NOTHING]
    for run in boat.runs_at.get((panel.id, "feed"), ()):
        for pole in run.poles:
            if pole in LIVE_POLES:
                held = table[run.id, pole]
                feeds.append(held.a if run.b.part == panel.id else held.b)
    return max(feeds, key=lambda feed: feed.current_a)


def _judge(boat: Boat, panel: Part) -> Outcome:
    rated = quantity(panel, "bus_a")
    worst, best = arriving(boat, panel, most=True), arriving(boat, panel, most=False)
    load, lacks = _behind_main(panel, worst, best)
    devices = devices_by_key(boat)
    open_fields = [
        lack for feed in (worst, best) for key, _ in feed.by for lack in key_lacks(boat, key, devices, False)
    ]
    return judged(
        "over-bus",
        (f"part:{panel.id}",),
        safe=load.most <= low(rated, 0.0),
        hopeless=load.least > high(rated),
        lacks=(*lacks, *(() if is_exact(rated) else (f"part:{panel.id} bus_a",)), *open_fields),
        values={
            "part": boat.name(panel),
            "rated": high(rated, 0.0),
            "feed": " + ".join(item_text(boat, key, amount) for key, amount in worst.by) or "nothing",
            "feed_a": current_text(load.most),
        },
    )


def _behind_main(panel: Part, worst: Feed, best: Feed) -> tuple[Bound, tuple[str, ...]]:
    """What reaches the bus once the panel's own main device is passed."""
    if panel.values.get("main_device") not in ("breaker", "fuse"):
        return Bound(best.current_a, worst.current_a), ()
    main = as_quantity(panel.values.get("main_rating_a"))
    lacks = () if is_exact(main) else (f"part:{panel.id} main_rating_a",)
    return Bound(min(best.current_a, low(main, 0.0)), min(worst.current_a, high(main))), lacks
