"""Rule bare-battery-posts."""

from __future__ import annotations

from collections.abc import Iterator

from engine.graph.boat import Boat
from engine.rules.api import Basis, Book, Outcome, Wording, rule
from engine.rules.bounds import judged


@rule(
    "bare-battery-posts",
    title="Battery posts without a cover",
    books=("33cfr183", "e11", "iso13297"),
    basis=(
        Basis("33cfr183", "33 CFR 183.420(b), 2015 edition", "Metal objects must not be able to touch the ungrounded terminals of "
              "a battery.", "published"),
        Basis("e11", "ABYC E-10 and E-11, as a handbook quotes them", "The terminals of a battery are boxed or booted.",
              "secondary"),
        Basis("iso13297", "ISO 10133:2012, 5.4 and 5.5", "No metal object can fall onto the terminals.", "published"),
    ),
    wordings={
        "bare": Wording(
            "requirement",
            "The posts of {battery} are not covered: a spanner that falls across them is a welding rod.",
            "Cover the positive post with a boot, or the whole battery with a box lid.",
        )
    },
    needs="Whether the posts of each battery are covered.",
)  # fmt: skip
def bare_battery_posts(boat: Boat, book: Book) -> Iterator[Outcome]:
    """A battery gives a thousand amperes to whatever lies across its posts: a tin, a tool, a locker lid of metal. No fuse is
    ahead of that fault."""
    for part in boat.with_role("battery"):
        key, covered = f"part:{part.id}", part.values.get("post_guards")
        yield judged("bare", (key,), safe=covered is True, hopeless=covered is False, lacks=(f"{key} post_guards",),
                     values={"battery": boat.name(part)})  # fmt: skip
