"""From a part and its device kind to its actual ports and links: counted ports repeated, panel positions laid out.

The only place that knows what is inside a panel.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from engine.library.device import DeviceKind, LinkKind, LinkSpec, PortKind
from engine.model.kept import by_identity
from engine.model.network import Part, Position
from engine.model.quantity import Quantity, as_quantity

Terminal = tuple[str, str]
"""(port, pole) inside one part."""

MAIN = "main"
"""What the main device of a panel has for a position."""

MOST_PORTS = 400
"""Counted ports of one part; a file that states more is wrong, and must not fill the memory."""


class Port(msgspec.Struct, frozen=True):
    """An attaching point of an actual part."""

    name: str
    poles: tuple[str, ...]
    title: str = ""


class Link(msgspec.Struct, frozen=True):
    """What lies between two terminals of an actual part.

    `position` is the key of the panel position it belongs to, or "". `rated` names the value in which its rating stands,
    `largest` that of the largest fuse its holder accepts (of a breaker its rating); of the position, where it belongs to
    one. How things hang together does not change with the ratings, so they are not here (see `stated_at`).
    """

    kind: LinkKind
    a: Terminal
    b: Terminal
    states: tuple[str, ...] = ()
    rated: str = ""
    largest: str = ""
    position: str = ""
    spans: tuple[Terminal, ...] = ()


@by_identity
def ports_of(part: Part, kind: DeviceKind) -> tuple[Port, ...]:
    """The part's ports, counted ones repeated, a panel's positions as p1 … (named after their keys)."""
    listed = [port for spec in kind.port for port in _repeat_port(spec, part)]
    if kind.role in ("dc_panel", "ac_panel"):
        poles = _way_poles(kind)
        listed += [Port(f"p{position.key}", poles) for position in part.positions]
    return tuple(listed)


@by_identity
def links_of(part: Part, kind: DeviceKind) -> tuple[Link, ...]:
    """What is inside the part between its own terminals."""
    fitted = [spec for spec in kind.link if not spec.only_if or part.values.get(spec.only_if) is not False]
    listed = [link for spec in fitted for link in _repeat_link(spec, part, kind)]
    if kind.role in ("dc_panel", "ac_panel"):
        listed += _panel_links(part, kind)
    return tuple(listed)


def count_of(part: Part, name: str) -> int:
    """How often a counted port is there; 1 when the count is unknown, never more than MOST_PORTS."""
    return int(min(max(1.0, as_float(part.values.get(name), 1.0)), MOST_PORTS))


def _repeat_port(spec: PortKind, part: Part) -> Iterator[Port]:
    if not spec.count:
        yield Port(spec.name, spec.poles, spec.title)
        return
    for n in range(1, count_of(part, spec.count) + 1):
        yield Port(spec.name.replace("{n}", str(n)), spec.poles, spec.title.replace("{n}", str(n)))


def _repeat_link(spec: LinkSpec, part: Part, kind: DeviceKind) -> Iterator[Link]:
    counts = [count_of(part, port.count) for port in kind.port if port.count]
    numbers = range(1, max(counts, default=1) + 1) if "{n}" in "".join(spec.between) else range(1, 2)
    for n in numbers:
        a, b = (_terminal(end.replace("{n}", str(n))) for end in spec.between)
        if a != b:
            spans = tuple(_terminal(span) for span in spec.spans)
            yield Link(spec.kind, a, b, spec.states, spec.rating, _largest(spec, kind), "", spans)


def _terminal(text: str) -> Terminal:
    port, _, pole = text.partition(":")
    return port, pole


def _largest(spec: LinkSpec, kind: DeviceKind) -> str:
    """The largest fuse of a holder that has one to state: unknown, not the rating, while nobody has stated it."""
    states_one = spec.kind == "fuse" and any(value.name == "holder_largest_a" for value in kind.value)
    return "holder_largest_a" if states_one else spec.rating


def _way_poles(kind: DeviceKind) -> tuple[str, ...]:
    feed = next((port.poles for port in kind.port if port.name == "feed"), ("+", "-"))
    return tuple(feed)


def live_poles(poles: tuple[str, ...]) -> tuple[str, ...]:
    """The poles a protective device breaks: all but the DC negative, the neutral and the earths."""
    return tuple(pole for pole in poles if pole not in ("-", "N", "PE", "BOND"))


_LINK_OF_DEVICE: Mapping[str, LinkKind] = {"breaker": "breaker", "fuse": "fuse", "switch": "contact"}


def _panel_links(part: Part, kind: DeviceKind) -> Iterator[Link]:
    """Feed -> main (if any) -> inner bus -> each position; the inner bus is the port "bus", which takes no run."""
    poles = _way_poles(kind)
    yield from _main_links(part, poles)
    for position in part.positions:
        if position.state != "blank":
            yield from _way_links(position, poles)


def _main_links(part: Part, poles: tuple[str, ...]) -> Iterator[Link]:
    main = part.values.get("main_device", "none")
    broken = _broken(poles, int(as_float(part.values.get("main_poles"), 1)))
    device = _LINK_OF_DEVICE.get(str(main), "through")
    for pole in poles:
        kind: LinkKind = device if pole in broken else "through"
        rated = "main_rating_a" if kind != "through" else ""
        yield Link(kind, ("feed", pole), ("bus", pole), (), rated, "main_rating_a", MAIN)
    if part.values.get("main_residual_ma") is not None:
        yield _residual_link("bus", poles, "main_residual_ma", MAIN)


def _way_links(position: Position, poles: tuple[str, ...]) -> Iterator[Link]:
    device = _LINK_OF_DEVICE.get(position.device, "through")
    broken = _broken(poles, position.poles)
    port = f"p{position.key}"
    largest = "holder_largest_a" if position.device == "fuse" else "rating_a"
    for pole in poles:
        kind: LinkKind = device if pole in broken else "through"
        protects = kind in ("breaker", "fuse")
        rated, limit = ("rating_a", largest) if protects else ("", "")
        yield Link(kind, ("bus", pole), (port, pole), (), rated, limit, position.key)
    if position.residual_ma is not None:
        yield _residual_link(port, poles, "residual_ma", position.key)


def _residual_link(port: str, poles: tuple[str, ...], trip: str, position: str) -> Link:
    """A residual-current element that sums the live poles of a port; what it is rated is its trip current, mA."""
    live = tuple((port, pole) for pole in poles if pole not in ("PE", "BOND"))
    return Link("residual", live[0], live[0], (), trip, "", position, live)


def stated_at(part: Part, position: Position | None, name: str) -> Quantity:
    """A value that a link of the part names: of its position, where it belongs to one; "": unknown."""
    if position is not None and not name.startswith(MAIN):
        return getattr(position, name) if name else None
    return as_quantity(part.values.get(name))


def _broken(poles: tuple[str, ...], count: int) -> frozenset[str]:
    """The poles that a device of `count` poles breaks: the live ones first, then the neutral or negative."""
    order = [*live_poles(poles), *(pole for pole in poles if pole in ("N", "-"))]
    return frozenset(order[: max(count, len(live_poles(poles)))])


def as_float(value: object, default: float) -> float:
    """The value as a float where it is a plain number, else the default."""
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else default
