"""Is the fuse before an appliance within what its maker allows?"""

from __future__ import annotations

from collections.abc import Iterator

from engine.electrics.sources import RULEBOOKS
from engine.graph.boat import Boat, quantity
from engine.graph.flows import Feed
from engine.model.network import Part
from engine.model.quantity import high, is_exact, low
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged
from engine.rules.protected import current_text, item_text
from engine.rules.protection import devices_by_key, key_lacks

BASIS = (
    Basis("e11", "ABYC E-11", "A motor circuit is protected so that a stalled motor does not become a fire in seven hours; for a "
          "bilge pump the fuse its maker states is used.", "secondary"),
    Basis("33cfr183", "maker's instructions", "The maker's largest fuse is a condition of the appliance.", "practice"),
    Basis("iso13297", "maker's instructions", "The maker's largest fuse is a condition of the appliance.", "practice"),
)  # fmt: skip


@rule(
    "over-makers-fuse",
    title="Fuse larger than the appliance's maker allows",
    books=RULEBOOKS,
    basis=BASIS,
    wordings={
        "over-maker": Wording(
            severity="requirement",
            sentence="{part} may have a fuse of at most {most} A, but {feed} is before it.",
            remedy="Fit a fuse of at most {most} A in the circuit of {part}.",
            formula="{feed_a} > {most} A",
        )
    },
    needs="The largest fuse that each appliance's maker allows; of a bilge pump it must be known.",
)
def over_makers_fuse(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A fuse that protects the conductor may still be too large for what hangs on it. A bilge pump stalled by a wood chip
    draws more than its running current for hours; only the small fuse its maker names stops it from melting."""
    for part in boat.with_role("load_dc"):
        if part.kind == "bilge_pump" or quantity(part, "fuse_largest_a") is not None:
            feeds = boat.currents.fed_by(part, "supply", "+")
            if feeds is not None:
                yield _judge(boat, part, *feeds)


def _judge(boat: Boat, part: Part, worst: Feed, best: Feed) -> Outcome:
    largest = quantity(part, "fuse_largest_a")
    devices = devices_by_key(boat)
    lacks = [lack for feed in (worst, best) for key, _ in feed.by for lack in key_lacks(boat, key, devices, False)]
    return judged(
        "over-maker",
        (f"part:{part.id}", *dict.fromkeys(key for key, _ in worst.by if key in devices)),
        safe=_largest(worst) <= low(largest, 0.0),
        hopeless=_largest(best) > high(largest),
        lacks=(*(() if is_exact(largest) else (f"part:{part.id} fuse_largest_a",)), *lacks),
        values={
            "part": boat.name(part),
            "most": high(largest, 0.0),
            "feed": " + ".join(item_text(boat, key, amount) for key, amount in worst.by) or "nothing",
            "feed_a": current_text(_largest(worst)),
        },
    )


def _largest(feed: Feed) -> float:
    return max((amount for _, amount in feed.by), default=0.0)
