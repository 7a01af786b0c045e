"""loomwright fault: the short-circuit currents along a wire, which device opens first and how soon, and on what that rests."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import keys_of, print_answer
from engine.messages import tr

if TYPE_CHECKING:
    from engine.electrics.sources import Source
    from engine.graph.boat import Boat
    from engine.studies.selectivity import Candidate, Verdict


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """fault FILE DESIGNATION"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("designation", help="a wire by its number, a way of a panel (A1.3) or a part (F2, M1)")


def run(asked: argparse.Namespace) -> int:
    """0 answered, 2 the file cannot be read or has no such part or wire."""
    return print_answer(asked.file, lambda boat: "\n".join(answer(boat, asked.designation)))


def answer(boat: Boat, designation: str) -> list[str]:
    """The lines to print. Raises LookupError where there is no such thing, or no wire of it."""
    from engine.studies.selectivity import first_to_open, run_of

    lines = [boat.network.particulars.name]
    for key in keys_of(boat, designation):
        run = run_of(boat, key)
        if run is None:
            raise LookupError(tr("No wire that a source reaches belongs to “{name}”.").format(name=designation))
        lines += _verdict(boat, first_to_open(boat, run.id))
    caution = tr(
        "This checks a drawing, not the boat; the standards, local codes and licensed practice have the last word."
    )
    return [*lines, "", caution]


def _verdict(boat: Boat, verdict: Verdict) -> list[str]:
    from engine.studies.selectivity import sentence
    from engine.studies.withstand import amps

    lines = ["", sentence(boat, verdict)]
    fault = verdict.fault
    if fault is None:
        return lines
    least = f"{amps(fault.least_a)} A" if fault.least_a > 0 else tr("not known")
    most = f"{amps(fault.most_a)} A" if math.isfinite(fault.most_a) else tr("no upper bound")
    lines += ["", tr("Smallest short circuit, at the far end   {least}").format(least=least)]
    lines += [tr("Largest short circuit, at the beginning  {most}").format(most=most)]
    lines += [_device(boat, each) for each in verdict.candidates]
    lines += _conductor(verdict)
    lines += [_source(source) for source in verdict.sources]
    return lines + [f"    ? {tr('not known is {field}').format(field=field)}" for field in verdict.lacks]


def _device(boat: Boat, each: Candidate) -> str:
    from engine.studies.selectivity import guard_name
    from engine.studies.withstand import opens

    series = " / ".join(dict.fromkeys(band.title for band in each.guard.bands)) or tr("no time limits known")
    times = tr("at the smallest {least}, at the largest {most}").format(
        least=opens(each.at_least), most=opens(each.at_most)
    )
    return f"{guard_name(boat, each.guard):<16} {times}\n{'':16} {series}"


def _conductor(verdict: Verdict) -> list[str]:
    from engine.studies.withstand import hold_of, hold_text

    held = hold_of(verdict.fault) if verdict.fault else None
    sources = held.stands.sources if held else ()
    return [hold_text(held), *(_source(source) for source in sources)]


def _source(source: Source) -> str:
    status = tr("unconfirmed, from memory") if source.status == "memory" else source.status
    return f"    · {source.document}: {source.table} ({status})"
