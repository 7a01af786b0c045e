"""How the boat stands in a setting: what is live, the network solved, and both as annotation and as sentences. No widget.

`stand` is what the worker thread does; everything it takes and gives is immutable.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from engine.drawing.annotate import Annotation
from engine.drawing.live_view import dead_annotation, designations, live_annotation, with_positions
from engine.drawing.results_view import loading_annotation, volts_annotation
from engine.graph.boat import Boat
from engine.graph.live import Live, can_open, dead_without, live, lost_without
from engine.messages import tr
from engine.model.network import Part
from engine.studies.conditions import Case
from engine.studies.faults import fault_levels
from engine.studies.network import solve_case
from engine.studies.results import Solution
from engine.studies.setting import Setting, case_for, live_in, state_of, stopped, switches_of
from engine.studies.telling import Told, live_told, opened_told, solution_told

Shown = Literal["nothing", "live", "volts", "loading"]


class Opened(msgspec.Struct, frozen=True):
    """What one open device takes with it: the loads that go dead, those that lose sources, and what is live then."""

    key: str
    live: Live
    dead: tuple[Part, ...]
    less: tuple[tuple[Part, frozenset[str]], ...]


class Standing(msgspec.Struct, frozen=True):
    """A boat in a setting."""

    boat: Boat
    setting: Setting
    case: Case
    live: Live
    solution: Solution
    opened: Opened | None = None


def stand(boat: Boat, setting: Setting, opened: str = "") -> Standing:
    """Work it out; `opened` is the key of a device that is out ("part:p3", "position:p4/12")."""
    case = case_for(boat, setting)
    fault_levels(boat)  # kept with the boat: a trace asks for them in the window's own thread
    return Standing(boat, setting, case, live_in(boat, case), solve_case(boat, case), _opened(boat, case, opened))


def _opened(boat: Boat, case: Case, key: str) -> Opened | None:
    if not key or not can_open(boat, key):
        return None
    switches, off = case.switches or {}, stopped(boat, case)
    after = live(boat, {**switches, key.partition(":")[2]: "off"}, off)
    return Opened(key, after, dead_without(boat, switches, key, off), lost_without(boat, switches, key, off))


def annotation_of(standing: Standing, view: Shown, only: str = "") -> Annotation:
    """What the sheet shows of it; `only`: what is live from this source alone."""
    return msgspec.structs.replace(_annotation(standing, view, only), condition=case_name(standing))


def _annotation(standing: Standing, view: Shown, only: str) -> Annotation:
    boat = standing.boat
    if view == "volts":
        return volts_annotation(boat, standing.solution)
    if view == "loading":
        return loading_annotation(boat, standing.solution)
    if view == "nothing":
        return Annotation()
    positions = {part.id: state_of(boat, standing.case, part) for part in switches_of(boat)}
    there = standing.opened.live if standing.opened else standing.live
    shown = with_positions(live_annotation(boat, there, only), positions)
    if standing.opened is None:
        return shown
    less = {part.id: designations(boat, sources) for part, sources in standing.opened.less}
    return dead_annotation(shown, standing.opened.dead, less, part_key(standing.opened.key))


def part_key(key: str) -> str:
    """The part in which a device stands: a way of a panel is framed as its panel."""
    sort, _, rest = key.partition(":")
    return f"part:{rest.partition('/')[0]}" if sort == "position" else key


def told_of(standing: Standing, view: Shown) -> tuple[Told, ...]:
    """What is to be said of it: of the open device first, then what is wrong, then the rest."""
    boat, opened = standing.boat, standing.opened
    first: tuple[Told, ...] = ()
    if opened is not None:
        less = tuple((part, designations(boat, sources)) for part, sources in opened.less)
        first = opened_told(boat, device_name(boat, opened.key), opened.dead, less)
    after = live_told(boat, opened.live if opened else standing.live)
    rest = () if view in ("nothing", "live") and not standing.setting.starting else solution_told(
        boat, standing.solution, standing.live
    )  # fmt: skip
    return (*first, *rest, *after)


def device_name(boat: Boat, key: str) -> str:
    """How a sentence calls a part, or a way of a panel: "F6 Windlass", "A1.3 Anchor light"."""
    sort, _, rest = key.partition(":")
    part_id, _, way = rest.partition("/")
    part = boat.parts[part_id]
    position = boat.position(part, way) if sort == "position" else None
    return f"{part.designation}.{way} {position.label}".strip() if position else boat.name(part)


def case_name(standing: Standing) -> str:
    """The case in words: the condition, whether switches were set by hand, what starts."""
    boat, setting = standing.boat, standing.setting
    words = [standing.case.name]
    words += [tr("set by hand")] if setting.by_hand else []
    words += [tr("{name} starts").format(name=boat.name(boat.parts[setting.starting]))] if setting.starting else []
    return ", ".join(words)
