"""loomwright explain: every value of a part or wire with its formula, its numbers and what they rest on."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from engine.command.asking import condition_named, keys_of, print_answer
from engine.messages import tr

if TYPE_CHECKING:
    from engine.graph.boat import Boat
    from engine.studies.trace import Step


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """explain FILE DESIGNATION [--condition NAME] [--starting DESIGNATION]"""
    parser.add_argument("file", type=Path, help="boat file, or sketch (.txt)")
    parser.add_argument("designation", help="a part (M2), a way of a panel (A1.3) or a wire by its number")
    parser.add_argument(
        "--condition", help="operating condition, by name; without it everything is on, nothing charges"
    )
    parser.add_argument(
        "--starting", action="append", default=[], metavar="DESIGNATION", help="a motor that starts just now"
    )
    parser.add_argument("--worst", action="store_true", help="everything that is a range or not known at its worst")


def run(asked: argparse.Namespace) -> int:
    """0 explained, 2 the file cannot be read or has no such part, wire or condition."""
    return print_answer(asked.file, lambda boat: "\n".join(_lines(boat, asked)))


def _lines(boat: Boat, asked: argparse.Namespace) -> list[str]:
    from engine.studies.network import solve
    from engine.studies.trace import trace

    starting = [key.removeprefix("part:") for name in asked.starting for key in keys_of(boat, name)]
    keys = keys_of(boat, asked.designation)
    condition = condition_named(boat, asked.condition) if asked.condition is not None else None
    solution = solve(boat, condition, starting=starting, corner="worst" if asked.worst else "middle")
    lines = [f"{boat.network.particulars.name}: {asked.designation} — {solution.case.name}"]
    for key in keys:
        for step in trace(boat, solution, key):
            lines += _step(boat, step)
    lines += [f"! {gap.text}" for gap in solution.gaps if gap.code != "missing" or set(keys) & set(gap.subjects)]
    lines += [
        "",
        tr("This checks a drawing, not the boat; the standards, local codes and licensed practice have the last word."),
    ]
    return lines


def _step(boat: Boat, step: Step) -> list[str]:
    from engine.rules.wording import lack_text

    lines = [f"{step.what:<34} {step.value}"]
    lines += [f"    {step.formula}"] if step.formula else []
    for source in dict.fromkeys(step.sources):
        status = "" if source.document == "the drawing" else f" ({_status(source.status)})"
        lines.append(f"    · {source.document}: {source.table}{status}")
    lines += [
        f"    ? {tr('at best: not known is {field}').format(field=lack_text(boat, field))}" for field in step.lacks
    ]
    return lines


def _status(status: str) -> str:
    return tr("unconfirmed, from memory") if status == "memory" else status
