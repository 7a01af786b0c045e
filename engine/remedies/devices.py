"""Remedies that put a device where one is wanted: a fuse at the source end of a run, a main at the inlet, a switch at the
battery. A device is offered at the largest standard rating that protects, still carries its load and breaks no other rule
about overcurrent."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Literal, get_args

from engine.electrics.protection import standard_ratings
from engine.graph.boat import Boat, quantity
from engine.messages import tr
from engine.model.document import Document
from engine.model.edits.fields import set_position, set_run_fields, set_values
from engine.model.edits.placing import delete, new_part_id
from engine.model.edits.records import EditRefused, changed, with_run
from engine.model.edits.wiring import insert_inline, reconnect, remove_inline
from engine.model.network import AC_LINES, End, Part, Run
from engine.model.quantity import Quantity, Value, high, is_exact
from engine.remedies.edits import kind_edit, part_edit, rating_edit
from engine.remedies.record import Ask, Edit, Remedy, cures
from engine.remedies.spot import Spot, spot_on
from engine.rules.api import Book
from engine.rules.families import FAMILY_OF_KIND
from engine.rules.runner import load_rules, run_rules

NEAR_M = 0.15
"""Within the 7 in (0.178 m) of E-11 and 33 CFR 183 and the 0.2 m of ISO 13297."""
AC_NEAR_M = 0.4
"""Within the 0.5 m of ISO 13297 and the 10 ft of E-11."""
BLADE_MOST_A = 30.0
CLASS_T_LEAST_A = 110.0
RESIDUAL: Mapping[str, Value] = {"residual_ma": 30.0, "trip_ms": 100.0}
HAND_RESET: Mapping[str, Value] = {"trip_free": True, "manual_reset": True}


def spot_at(ask: Ask, run: Run, near: End) -> Spot:
    """Where a device at one end of a run would stand."""
    return spot_on(ask.document, ask.library, run, from_a=near == run.a)


def putting(
    ask: Ask, run: Run, near: End, kind_id: str, values: Mapping[str, Value], near_m: float, spot: Spot
) -> Edit:
    """The edit that puts a device into a run, so far from one end along it; on the sheet it stands at the spot."""

    def edit(document: Document) -> Document:
        return _put(_from(document, run, near), ask, run, kind_id, values, near_m, spot)

    return edit


def _from(document: Document, run: Run, near: End) -> Document:
    """The run told from the end where the device goes: what it feeds is behind it."""
    return document if run.a == near else with_run(document, run.id, lambda old: changed(old, a=old.b, b=old.a))


def _put(
    document: Document, ask: Ask, run: Run, kind_id: str, values: Mapping[str, Value], near_m: float, spot: Spot
) -> Document:
    part_id = new_part_id(document)
    kind = ask.library[kind_id]
    made = insert_inline(document, run.id, kind, spot.sheet_id, spot.x_mm, spot.y_mm, rotation=spot.rotation)
    known = {value.name for value in kind.value}
    made = set_values(made, part_id, {name: value for name, value in values.items() if name in known})
    rest_id = made.network.runs[-1].id
    made = set_run_fields(made, run.id, length_m=near_m, length_basis="one-way")
    return set_run_fields(made, rest_id, length_m=_less(run.length_m, near_m))


def _less(length_m: Quantity, by_m: float) -> Quantity:
    if length_m is None:
        return None
    if isinstance(length_m, tuple):
        return max(0.0, length_m[0] - by_m), max(0.0, length_m[1] - by_m)
    return max(0.0, length_m - by_m)


def _at_source(ask: Ask) -> Iterator[Remedy]:
    """The largest fuse or breaker that protects, at the end of the run where the current comes from."""
    run, place = ask.runs()[0], str(ask.finding.outcome.values.get("place", ""))
    limit_a = ask.number("limit_a") or ask.number("allowed_a")
    ends = [
        end for end in (run.a, run.b) if end.part in ask.boat.parts and ask.boat.name(ask.boat.parts[end.part]) == place
    ]
    for near in ends if limit_a else ():
        yield from _fitting(ask, run, near, limit_a or 0.0)


def _fitting(ask: Ask, run: Run, near: End, limit_a: float) -> Iterator[Remedy]:
    kind_id, near_m = _kind_for(ask, run, near, limit_a)
    title, spot = tr("put a {kind} of {rating} A into wire {number} at {place}"), spot_at(ask, run, near)
    for rating_a in _ratings(kind_id, limit_a):
        edit = putting(ask, run, near, kind_id, {"rating_a": rating_a, **HAND_RESET}, near_m, spot)
        if not worse(ask, edit):
            kind = ask.library[kind_id].title
            told = title.format(
                rating=f"{rating_a:g}", kind=_lower(kind), number=run.number or run.id,
                place=ask.boat.name(ask.boat.parts[near.part]),
            )  # fmt: skip
            yield Remedy(told, edit)
            return


def _lower(title: str) -> str:
    """A title within a sentence."""
    return title[:1].lower() + title[1:]


def _kind_for(ask: Ask, run: Run, near: End, limit_a: float) -> tuple[str, float]:
    if AC_LINES & set(run.poles):
        split = {"L1", "L2"} <= set(run.poles)
        return ("breaker_ac_split" if split else "breaker_ac_2" if "N" in run.poles else "breaker_ac"), AC_NEAR_M
    if limit_a < BLADE_MOST_A:
        return "fuse_blade", NEAR_M
    battery = ask.boat.role(ask.boat.parts[near.part]) == "battery"
    return ("fuse_class_t" if battery and limit_a >= CLASS_T_LEAST_A else "fuse_bolt"), NEAR_M


TRIES = 8
"""Ratings that are tried, from the largest that protects downwards."""


def _ratings(kind_id: str, limit_a: float) -> list[float]:
    fit = [rating for rating in standard_ratings(FAMILY_OF_KIND[kind_id]) if rating <= limit_a + 1e-9]
    return fit[::-1][:TRIES]


def worse(ask: Ask, edit: Edit) -> bool:
    """Whether the edit cannot be done, or breaks a rule about overcurrent that was kept before."""
    try:
        made = edit(ask.document)
    except EditRefused:
        return True
    broken = _BROKEN[ask.finding.book]
    return not broken(Boat(made.network, ask.library)) <= ask.boat.derive(broken)


Broken = frozenset[tuple[str, str, str]]


def _broken_under(book: Book) -> Callable[[Boat], Broken]:
    def broken(boat: Boat) -> Broken:
        """The findings about overcurrent that break a rule: rule, code, subject."""
        rules = [rule for rule in load_rules() if rule.family == "overcurrent"]
        return frozenset(
            (each.rule.id, each.outcome.code, each.outcome.subjects[0])
            for each in run_rules(boat, (book,), rules).findings
            if each.outcome.verdict == "breaks"
        )

    return broken


_BROKEN: Mapping[Book, Callable[[Boat], Broken]] = {book: _broken_under(book) for book in get_args(Book)}
"""One function for each rulebook, so that a boat answers each once."""


def _own_device(ask: Ask) -> Iterator[Remedy]:
    """A way of a panel gets the largest device that carries its load and protects its wire."""
    part_id, _, way = ask.finding.outcome.subjects[0].removeprefix("position:").partition("/")
    panel = ask.boat.parts[part_id]
    device, family = ("breaker", "panel-breaker") if ask.boat.role(panel) == "ac_panel" else ("fuse", "blade")
    for rating_a in sorted(standard_ratings(family), reverse=True)[-2 * TRIES :]:
        edit = _way_edit(part_id, way, device, rating_a)
        if not worse(ask, edit):
            title = tr("give way {key} a {device} of {rating} A")
            yield Remedy(title.format(key=way, device=tr(device), rating=f"{rating_a:g}"), edit)
            return


def _way_edit(part_id: str, way: str, device: str, rating_a: float) -> Edit:
    return lambda document: set_position(document, part_id, way, device=device, rating_a=rating_a)


def _panel_main(ask: Ask) -> Iterator[Remedy]:
    """A main in the panel that holds what its bus may carry."""
    rated_a = ask.number("rated")
    for panel in ask.parts()[:1] if rated_a else ():
        for rating_a in _ratings("breaker", rated_a or 0.0):
            values: Mapping[str, Value] = {"main_device": "breaker", "main_rating_a": rating_a}
            edit = part_edit(panel.id, values)
            if not worse(ask, edit):
                title = tr("give {panel} a main breaker of {rating} A")
                yield Remedy(title.format(panel=ask.boat.name(panel), rating=f"{rating_a:g}"), edit)
                return


def _larger_device(ask: Ask) -> Iterator[Remedy]:
    """The smallest rating above that carries the load, where the conductors may have it."""
    key = ask.finding.outcome.subjects[0]
    part_id, _, way = key.partition(":")[2].partition("/")
    part = ask.boat.parts.get(part_id)
    rating = _rating_of(ask.boat, part, way) if part else None
    if part is None or not is_exact(rating):
        return
    family = (
        "blade"
        if way and _way_device(ask.boat, part, way) == "fuse"
        else FAMILY_OF_KIND.get(part.kind, "panel-breaker")
    )
    for rating_a in [each for each in standard_ratings(family) if each > high(rating)][:TRIES]:
        edit = rating_edit(part_id, way, rating_a)
        if not worse(ask, edit) and cures(edit(ask.document), ask.finding, ask.library):
            name = ask.boat.name(part) + (tr(" way {key}").format(key=way) if way else "")
            yield Remedy(tr("{device}: {rating} A").format(device=name, rating=f"{rating_a:g}"), edit)
            return


def _rating_of(boat: Boat, part: Part, way: str) -> Quantity:
    position = boat.position(part, way) if way else None
    return position.rating_a if position else quantity(part, "rating_a")


def _way_device(boat: Boat, part: Part, way: str) -> str:
    position = boat.position(part, way)
    return position.device if position else ""


def _live_run(ask: Ask, part: Part) -> tuple[Run, End] | None:
    """The one live run that leaves a source, and its end there."""
    found = [
        (run, end)
        for port in ask.boat.ports(part)
        for run in ask.boat.runs_at.get((part.id, port.name), ())
        for end in (run.a, run.b)
        if end.part == part.id and set(run.poles) & (AC_LINES | {"+"})
    ]
    return found[0] if len(found) == 1 else None


def _main_at_inlet(ask: Ask) -> Iterator[Remedy]:
    yield from _at_ac_source(ask, {True: "breaker_ac_split", False: "breaker_ac_2"}, HAND_RESET)


def _residual_at_source(ask: Ask) -> Iterator[Remedy]:
    """In a panel close by, in the breaker that is there, or as a device of its own: the rule tells which is near enough."""
    if ask.code != "no-device":
        return
    for panel in ask.boat.with_role("ac_panel"):
        values = {"main_residual_ma": 30.0, "main_trip_ms": 100.0}
        title = tr("replace the main of {panel} by one that opens at 30 mA within 100 ms")
        if panel.values.get("main_device") == "breaker":
            yield Remedy(title.format(panel=ask.boat.name(panel)), part_edit(panel.id, values))
    for part in ask.boat.with_role("protection"):
        if part.kind in ("breaker_ac_2", "breaker_ac_split"):
            title = tr("replace {device} by a breaker that opens at 30 mA within 100 ms too")
            kind = "rcbo" if part.kind == "breaker_ac_2" else "rcbo_split"
            yield Remedy(title.format(device=ask.boat.name(part)), kind_edit(part.id, kind, RESIDUAL))
    yield from _at_ac_source(ask, {True: "rcbo_split", False: "rcbo"}, {**RESIDUAL, **HAND_RESET})


def _at_ac_source(ask: Ask, kinds: Mapping[bool, str], values: Mapping[str, Value]) -> Iterator[Remedy]:
    """A device in the one run that leaves the source, rated for what the source may give."""
    for part in ask.parts()[:1]:
        leaving = _live_run(ask, part)
        rating = quantity(part, "service_a")
        if leaving is None or not is_exact(rating):
            continue
        run, near = leaving
        kind_id = kinds[{"L1", "L2"} <= set(run.poles)]
        kind = ask.library[kind_id]
        told = tr("put a {kind} of {rating} A into wire {number} at {place}").format(
            rating=f"{high(rating):g}", kind=_lower(kind.title), number=run.number or run.id,
            place=ask.boat.name(part),
        )  # fmt: skip
        spot = spot_at(ask, run, near)
        yield Remedy(told, putting(ask, run, near, kind_id, {"rating_a": rating, **values}, AC_NEAR_M, spot))


def _switch_at_battery(ask: Ask) -> Iterator[Remedy]:
    """A switch in the one positive cable of the battery, or what is ahead of the switch led from behind it."""
    yield from _behind_the_switch(ask)
    for part in ask.parts()[:1] if ask.code == "no-switch" else ():
        leaving = _live_run(ask, part)
        if leaving is not None:
            run, near = leaving
            title = tr("put a battery switch into wire {number} at {battery}")
            yield Remedy(
                title.format(number=run.number or run.id, battery=ask.boat.name(part)),
                putting(ask, run, near, "battery_switch", {}, NEAR_M, spot_at(ask, run, near)),
            )


def _behind_the_switch(ask: Ask) -> Iterator[Remedy]:
    for battery in ask.parts()[:1]:
        post = End(part=battery.id, port="pos")
        runs = ask.boat.runs_at.get((battery.id, "pos"), ())
        switches = [part for part in ask.boat.with_role("switch") if part.kind == "battery_switch"]
        for switch in switches:
            for run in runs:
                if switch.id not in (run.a.part, run.b.part):
                    title = tr("lead wire {number} from behind {switch}")
                    edit = _led_from(run, post, End(part=switch.id, port="out"))
                    yield Remedy(title.format(number=run.number or run.id, switch=ask.boat.name(switch)), edit)


def _led_from(run: Run, old: End, new: End) -> Edit:
    """How long the wire is then, is not known."""
    which: Literal["a", "b"] = "a" if run.a == old else "b"
    return lambda document: set_run_fields(reconnect(document, run.id, which, new), run.id, length_m=None)


def _out_of_the_return(ask: Ask) -> Iterator[Remedy]:
    """The device gone and its wire joined."""
    for part in ask.parts()[:1] if ask.code in ("in-return", "in-earth") else ():
        kind = ask.boat.kind(part)
        if kind is not None and len(kind.inline) == 2:
            title = tr("take {device} out and join the wire").format(device=ask.boat.name(part))
            yield Remedy(title, _removing(part.id, kind.inline))


def _removing(part_id: str, inline: tuple[str, ...]) -> Edit:
    return lambda document: remove_inline(document, part_id, inline)


def _wire_out(ask: Ask) -> Iterator[Remedy]:
    for run in ask.runs()[:1]:
        title = tr("take wire {number} out").format(number=run.number or run.id)
        yield Remedy(title, lambda document, key=f"run:{run.id}": delete(document, {key}))  # type: ignore[misc]


DEVICES: Mapping[str, Callable[[Ask], Iterator[Remedy]]] = {
    "unprotected-conductor": _at_source,
    "distant-device": _at_source,
    "circuit-without-device": _own_device,
    "oversized-panel-device": _panel_main,
    "device-below-load": _larger_device,
    "device-below-output": _larger_device,
    "inlet-without-main": _main_at_inlet,
    "no-residual-device": _residual_at_source,
    "missing-battery-switch": _switch_at_battery,
    "fused-return": _out_of_the_return,
    "dead-wire": _wire_out,
}
"""By rule: the devices that are worth trying."""
