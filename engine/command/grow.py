"""loomwright grow: what may still be added, where, and what limits it; a circuit added; a further battery asked for."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import AskError
from engine.messages import tr

if TYPE_CHECKING:
    from engine.library.device import Library
    from engine.model.document import Document
    from engine.pipeline import Analysis
    from engine.remedies.addition import Wanted
    from engine.remedies.choosing import Ask
    from engine.remedies.stock import Stock

USUAL_M = 5.0
LARGEST_BANK = "*"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """grow FILE [POSITION] [--watts W | --amps A] [--distance M] … | --battery [DESIGNATION]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("position", nargs="?", help="a way, as A1.22; without it all of them, the studs and the banks")
    parser.add_argument("--watts", type=float, help="power of the circuit to add")
    parser.add_argument("--amps", type=float, help="its current, in place of the power")
    parser.add_argument("--distance", type=float, default=USUAL_M, metavar="M", help="along the cable, one way (5 m)")
    parser.add_argument("--critical", action="store_true", help="at most 3 %% voltage drop, not 10 %%")
    parser.add_argument("--name", default="", help="what the circuit is called")
    parser.add_argument("--kind", default="load_dc", help="device kind of the load: load_dc, lamp, pump, electronics …")
    parser.add_argument("--place", default="", help="the space where the load is, by name or id")
    parser.add_argument("--engine-space", action="store_true", help="the cable passes an engine space")
    parser.add_argument("--stock", default="", help='sizes the yard stocks, with commas: "14 AWG,12 AWG,10 AWG"')
    parser.add_argument("--out", type=Path, help="write the boat with the circuit there")
    parser.add_argument(
        "--battery",
        nargs="?",
        const=LARGEST_BANK,
        metavar="G2",
        help="one more battery in a bank, the largest if none is named: what holds, what must change",
    )
    parser.add_argument("--days", type=float, default=1.0, help="how long the banks are to last at anchor (1)")  # fmt: skip


def run(asked: argparse.Namespace) -> int:
    """0 answered; 1 the circuit does not fit, or a battery asks for changes; 2 the file or what was asked is not understood."""
    from engine.electrics.sources import ElectricsError
    from engine.files.errors import SaveError
    from engine.files.opening import OpenError, open_boat
    from engine.library.device import load_library
    from engine.model.edits.records import EditRefused
    from engine.pipeline import analyse

    library = load_library()
    try:
        document = open_boat(asked.file, library)
        analysis = analyse(document.network, library)
        if asked.battery:
            return _battery(analysis, library, asked.battery)
        if asked.watts is not None or asked.amps is not None:
            return _add(document, analysis, library, asked)
        return _tell(analysis, asked)
    except (OpenError, SaveError, AskError, ElectricsError) as error:
        print(error, file=sys.stderr)
        return 2
    except EditRefused as refused:
        print(refused.values.get("why", refused.code))
        return 1


def _tell(analysis: Analysis, asked: argparse.Namespace) -> int:
    """The rooms, or one with all its limits."""
    from engine.remedies.bank_growth import bank_rooms
    from engine.remedies.growth import all_rooms
    from engine.remedies.growth_words import assumption_lines, bank_line, limit_lines, room_lines

    boat, books, ask, stock = analysis.boat, analysis.report.books, _ask(asked), _stock(asked, analysis)
    found = list(all_rooms(boat, books))
    if asked.position:
        key = _position(analysis, asked.position)
        found = [room for room in found if room.key == key]
        if not found:
            print(tr("{position} is neither spare nor prepared.").format(position=asked.position))
            return 1
    rules = tuple(book for book in books if book != "any")
    lines = list(room_lines(boat, found, ask, rules, stock))
    if asked.position:
        lines += [tr("Everything between it and the batteries:"), *limit_lines(boat, found[0])]
    else:
        banks = bank_rooms(boat, asked.days)
        lines += [bank_line(boat, bank) for bank in banks]
        if boat.with_role("battery") and not banks:
            lines.append(tr("Ah a day are not told: the boat has no operating condition."))
    print("\n".join([*(lines or [tr("There is no spare way and no bus.")]), "", *assumption_lines(ask)]))
    print(tr("This reads a drawing; a qualified electrician has the last word."))
    return 0


def _position(analysis: Analysis, name: str) -> str:
    from engine.command.live import key_named

    key = key_named(analysis.boat, name)
    if not key.startswith("position:"):
        raise AskError(tr("{name} is no way of a panel; write it as A1.22.").format(name=name))
    return key


def _ask(asked: argparse.Namespace) -> Ask:
    from engine.remedies.choosing import Ask

    return Ask(0.0, asked.distance, asked.critical, asked.engine_space)


def _stock(asked: argparse.Namespace, analysis: Analysis) -> Stock:
    from engine.remedies.stock import Stock, stock_of

    sizes = tuple(size.strip() for size in asked.stock.split(",") if size.strip())
    return Stock(sizes) if sizes else stock_of(analysis.boat.network.house)


def _add(document: Document, analysis: Analysis, library: Library, asked: argparse.Namespace) -> int:
    """The circuit planned, told, and written where that was asked for."""
    from engine.files.save import save_boat
    from engine.library.symbol import load_symbols
    from engine.remedies.addition import planned
    from engine.remedies.plan_words import plan_lines

    wanted = _wanted(analysis, asked)
    plan = planned(document, wanted, library, load_symbols(), _stock(asked, analysis), analysis)
    print("\n".join(plan_lines(plan, analysis.boat)))
    if asked.out:
        save_boat(plan.document, asked.out)
        print(tr("Wrote {path}").format(path=asked.out))
    return 0


def _wanted(analysis: Analysis, asked: argparse.Namespace) -> Wanted:
    from engine.remedies.addition import Wanted

    return Wanted(
        label=asked.name or tr("New circuit"),
        distance_m=asked.distance,
        current_a=asked.amps,
        power_w=asked.watts,
        critical=asked.critical,
        kind=asked.kind,
        position=_position(analysis, asked.position) if asked.position else "",
        compartment=_space(analysis, asked.place),
        engine_space=asked.engine_space,
    )


def _space(analysis: Analysis, name: str) -> str:
    """The id of a compartment. Raises AskError."""
    spaces = analysis.boat.network.compartments
    found = [space.id for space in spaces if name.casefold() in (space.id.casefold(), space.name.casefold())]
    if name and not found:
        there = ", ".join(space.name for space in spaces) or tr("none")
        raise AskError(tr("There is no space “{name}”; there is: {there}.").format(name=name, there=there))
    return found[0] if found else ""


def _battery(analysis: Analysis, library: Library, name: str) -> int:
    """1 where something must change."""
    from engine.remedies.bank_growth import further_battery, house_bank
    from engine.remedies.growth_words import battery_lines

    boat = analysis.boat
    banks = boat.with_role("battery")
    bank = house_bank(boat) if name == LARGEST_BANK else next((b for b in banks if b.designation == name), None)
    if bank is None:
        there = ", ".join(part.designation for part in banks) or tr("none")
        raise AskError(tr("Name the battery whose bank is to grow; there is: {there}.").format(there=there))
    growth = further_battery(analysis, library, bank)
    print("\n".join(battery_lines(boat, growth)))
    print(tr("This reads a drawing; a qualified electrician has the last word."))
    return 1 if any(answer.verdict == "must-change" for answer in growth.answers) else 0
