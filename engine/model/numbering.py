"""Automatic designations (letter and number, IEC 81346) and wire numbers. Pure; knows only the network."""

from __future__ import annotations

import re
from collections.abc import Iterable

from engine.model.network import Network, Run

ENDING = re.compile(r"^(.*?)(\d+)$")


def next_designation(network: Network, letter: str) -> str:
    """The letter with the number after the highest in use."""
    return letter + str(_highest((part.designation for part in network.parts), letter) + 1)


def next_wire_number(network: Network) -> str:
    """The number after the highest plain number in use."""
    return str(_highest((run.number for run in network.runs), "") + 1)


def free_designation(wanted: str, taken: Iterable[str], letter: str = "") -> str:
    """The wanted designation, or where it is taken the next one with the same letters."""
    used = set(taken)
    if wanted not in used:
        return wanted
    match = ENDING.match(wanted)
    stem = match[1] if match else wanted or letter
    return stem + str(_highest(used, stem) + 1)


def _highest(names: Iterable[str], stem: str) -> int:
    numbers = (name[len(stem) :] for name in names if name.startswith(stem))
    return max((int(number) for number in numbers if number.isdecimal()), default=0)


def renumbered(runs: tuple[Run, ...], order: Iterable[str]) -> dict[str, str]:
    """A new wire number for each run id: 1, 2 … in this order, runs not named after them in their own order."""
    listed = [*dict.fromkeys(order)]
    known = {run.id for run in runs}
    rest = [run.id for run in runs if run.id not in set(listed)]
    return {run_id: str(n) for n, run_id in enumerate([*(i for i in listed if i in known), *rest], 1)}
