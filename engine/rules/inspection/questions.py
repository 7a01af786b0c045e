"""The inspection list of one boat: which question is asked of what, and what was answered. Knows no paper."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

import msgspec

from engine.graph.boat import Boat
from engine.model.network import AC_POLES, DC_POLES, Answer, Part, Run
from engine.rules.api import Book
from engine.rules.coverage import books_of_item
from engine.rules.inspection.items import Item, items

BATTERY_SWITCHES = frozenset(
    {"battery_switch", "battery_switch_2", "battery_selector", "dual_switch", "remote_battery_switch"}
)
CONTACTORS = frozenset({"contactor", "bms_disconnect", "remote_battery_switch"})
HEAVY = frozenset({"thruster", "windlass"})
PANELS = ("dc_panel", "ac_panel")
CLASSES = ("class:battery", "class:dc", "class:ac")
"""Classes of runs that are looked at together."""
THIN = frozenset({"18 AWG", "18 SAE", "0.75 mm2"})


class Question(msgspec.Struct, frozen=True):
    """One question about one thing, and the answer that was given."""

    item: Item
    subject: str
    """"part:p1", "run:w1", "class:dc" or "boat"."""
    answer: Answer | None = None


def inspection_list(boat: Boat, books: Iterable[Book]) -> tuple[Question, ...]:
    """Every question that the rulebooks asked put to this boat, answered or not."""
    asked, given = frozenset(books), {(each.item, each.subject): each for each in boat.network.answers}
    return tuple(
        Question(item, subject, given.get((item.id, subject)))
        for item in items()
        if not books_of_item(item.id) or books_of_item(item.id) & asked
        for subject in dict.fromkeys(SUBJECTS[item.subject](boat))
    )


def needs_inspection(boat: Boat, books: Iterable[Book]) -> tuple[Question, ...]:
    """The questions without an answer: what the drawing cannot tell and nobody has looked at yet."""
    return tuple(question for question in inspection_list(boat, books) if question.answer is None)


def run_class(boat: Boat, run: Run) -> str:
    """The class a run is looked at with; "" for earths and bonds alone."""
    if AC_POLES & set(run.poles):
        return "class:ac"
    if not DC_POLES & set(run.poles):
        return ""
    ends = (boat.parts.get(end.part) for end in (run.a, run.b))
    at_battery = any(part is not None and boat.role(part) in ("battery", "starter") for part in ends)
    return "class:battery" if run.cranking or at_battery else "class:dc"


def _parts(wanted: Callable[[Boat, Part], bool]) -> Callable[[Boat], Iterator[str]]:
    return lambda boat: (f"part:{part.id}" for part in boat.network.parts if wanted(boat, part))


def _role(*roles: str) -> Callable[[Boat], Iterator[str]]:
    return _parts(lambda boat, part: boat.role(part) in roles)


def _kind(*kinds: str) -> Callable[[Boat], Iterator[str]]:
    return _parts(lambda boat, part: part.kind in kinds)


def _boat(applies: Callable[[Boat], bool]) -> Callable[[Boat], Iterator[str]]:
    return lambda boat: iter(["boat"] if boat.network.parts and applies(boat) else [])


def _classes(boat: Boat) -> Iterator[str]:
    found = {run_class(boat, run) for run in boat.network.runs}
    return (each for each in CLASSES if each in found)


def _has_both(boat: Boat) -> bool:
    poles = {pole for run in boat.network.runs for pole in run.poles}
    return bool(poles & AC_POLES) and bool(poles & DC_POLES)


def _has_petrol(boat: Boat) -> bool:
    stated = (space.petrol_vapour for space in boat.network.compartments)
    return boat.network.particulars.fuel in ("petrol", None) or any(stated)


def _is_residual(boat: Boat, part: Part) -> bool:
    own = any(part.values.get(name) is not None for name in ("residual_ma", "main_residual_ma"))
    return own or any(way.residual_ma is not None and way.state == "used" for way in part.positions)


def _thin_sheathed(boat: Boat) -> Iterator[str]:
    return (f"run:{run.id}" for run in boat.network.runs if run.size in THIN and len(run.poles) > 1)


SUBJECTS: Mapping[str, Callable[[Boat], Iterable[str]]] = {
    "boat": _boat(lambda boat: True),
    "boat with both systems": _boat(_has_both),
    "petrol boat": _boat(_has_petrol),
    "navigation boat": _boat(lambda boat: any(part.kind == "navigation_light" for part in boat.network.parts)),
    "battery": _role("battery"),
    "lithium battery": _parts(lambda boat, part: part.values.get("chemistry") == "LiFePO4"),
    "contactor": _kind(*CONTACTORS),
    "battery switch": _kind(*BATTERY_SWITCHES),
    "panel": _role(*PANELS),
    "stud bus": _kind("bus_positive", "bus_negative"),
    "bonding bus": _kind("bus_bonding"),
    "lightning terminal": _kind("lightning_terminal"),
    "AC motor": _kind("motor_ac", "air_conditioner"),
    "inlet": _parts(lambda boat, part: part.kind.startswith("shore_inlet")),
    "AC outlet": _role("outlet_ac"),
    "residual device": _parts(_is_residual),
    "bilge pump": _kind("bilge_pump"),
    "heavy motor": _kind(*HEAVY),
    "thin sheathed run": _thin_sheathed,
    "run class": _classes,
    "battery cables": lambda boat: (each for each in _classes(boat) if each == "class:battery"),
    "circuit cables": lambda boat: (each for each in _classes(boat) if each != "class:battery"),
}
