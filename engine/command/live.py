"""loomwright live: which loads are live with the switches set, from which source; what one device takes with it."""

from __future__ import annotations

import argparse
import difflib
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import AskError
from engine.messages import tr

if TYPE_CHECKING:
    from engine.graph.boat import Boat


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """live FILE [--condition NAME] [--set Q1=on …] [--all-off] [--without F3] [--json]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("--condition", help="a condition of the boat, by its name or id")
    parser.add_argument("--set", nargs="*", default=[], metavar="Q1=on", help="switches and their positions")
    parser.add_argument("--all-off", action="store_true", help="every switch off, engines stopped, nothing plugged in")
    parser.add_argument("--without", metavar="F3", help="a fuse, breaker or switch that opens; a way as A1.3")
    parser.add_argument("--json", action="store_true", help="one JSON object on standard output")


def run(asked: argparse.Namespace) -> int:
    """0 answered; 2 the file or what was asked cannot be read."""
    from engine.files.opening import OpenError, open_boat
    from engine.graph.boat import Boat
    from engine.library.device import load_library

    library = load_library()
    try:
        boat = Boat(open_boat(asked.file, library).network, library)
        print(answer(boat, asked))
    except (OpenError, AskError) as error:
        print(error, file=sys.stderr)
        return 2
    return 0


def answer(boat: Boat, asked: argparse.Namespace) -> str:
    """The table or the JSON. Raises AskError."""
    from engine.graph.live import dead_without, everything_off, live, loads, lost_without

    if asked.all_off and (asked.condition or asked.set or asked.without):
        raise AskError(tr("--all-off stands alone: it says itself where every switch is."))
    switches = settings(boat, asked.condition, asked.set)
    shown = everything_off(boat) if asked.all_off else live(boat, switches)
    alive, dead = loads(boat, shown)
    opened = openable(boat, asked.without) if asked.without else ""
    gone = dead_without(boat, switches, opened) if opened else ()
    less = lost_without(boat, switches, opened) if opened else ()
    named = {part.id: [boat.name(boat.parts[each]) for each in sorted(shown.feeds(part))] for part in alive}
    if asked.json:
        told = {
            "live": {boat.name(part): named[part.id] for part in alive},
            "dead": [boat.name(part) for part in dead],
            "dead_without": [boat.name(part) for part in gone],
            "lost_without": {boat.name(part): names_of(boat, sources) for part, sources in less},
        }
        return json.dumps(told, indent=1, ensure_ascii=False)
    lines = [tr("Live: {count} of {all} loads").format(count=len(alive), all=len(alive) + len(dead))]
    lines += [f"  {boat.name(part):<34} {', '.join(named[part.id])}" for part in alive]
    lines += [] if asked.all_off else [tr("Shore and engines counted as giving; --all-off leaves them out.")]
    lines += [tr("Dead: {parts}").format(parts=", ".join(part.designation for part in dead) or tr("none"))]
    if asked.without:
        lines += [tr("With {device} open, dead besides:").format(device=asked.without)]
        lines += [f"  {boat.name(part)}" for part in gone] or [f"  {tr('nothing')}"]
        lines += [tr("Still live, but no longer fed by:")] if less else []
        lines += [f"  {boat.name(part):<34} {', '.join(names_of(boat, sources))}" for part, sources in less]
    return "\n".join([*lines, tr("This reads a drawing: measure before you touch.")])


def names_of(boat: Boat, sources: frozenset[str]) -> list[str]:
    """The sources by name."""
    return [boat.name(boat.parts[each]) for each in sorted(sources)]


def openable(boat: Boat, name: str) -> str:
    """The key of a device that can open. Raises AskError."""
    from engine.graph.live import can_open

    key = key_named(boat, name)
    if not can_open(boat, key):
        raise AskError(
            tr("{name} cannot open: name a fuse, a breaker, a switch or a way of a panel.").format(name=name)
        )
    return key


def settings(boat: Boat, condition: str | None, given: list[str]) -> dict[str, str]:
    """Part id -> position, from a condition and from words like Q1=on. Raises AskError."""
    switches: dict[str, str] = {}
    if condition:
        known = {each.id: each for each in boat.network.conditions} | {
            each.name: each for each in boat.network.conditions
        }
        if condition not in known:
            raise AskError(_no(tr("condition"), condition, known))
        switches |= known[condition].switches
    for word in given:
        name, _, state = word.partition("=")
        part_id = key_named(boat, name).partition(":")[2]
        kind = boat.kind(boat.parts[part_id.partition("/")[0]])
        states = kind.states if kind and kind.states and "/" not in part_id else ("on", "off")
        if state not in states:
            raise AskError(_no(tr("position of {name}").format(name=name), state, states))
        switches[part_id] = state
    return switches


def key_named(boat: Boat, name: str) -> str:
    """The key of a part (Q1) or of a way of a panel (A1.3). Raises AskError."""
    designation, _, way = name.partition(".")
    known = {part.designation: part for part in boat.network.parts}
    if designation not in known:
        raise AskError(_no(tr("part"), designation, known))
    part = known[designation]
    if not way:
        return f"part:{part.id}"
    if boat.position(part, way) is None:
        raise AskError(_no(tr("way of {panel}").format(panel=designation), way, [each.key for each in part.positions]))
    return f"position:{part.id}/{way}"


def _no(what: str, given: str, known: object) -> str:
    names = [str(each) for each in known]  # type: ignore[attr-defined]
    close = names if len(names) <= 8 else difflib.get_close_matches(given, names, 3, 0.3) or names[:8]
    return tr("There is no {what} “{given}”; there is: {known}.").format(what=what, given=given, known=", ".join(close))
