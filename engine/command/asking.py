"""What the commands that answer a question about one boat share: opening it, naming what is aboard, saying what is wrong."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from engine.messages import tr

if TYPE_CHECKING:
    from engine.graph.boat import Boat
    from engine.model.network import Condition


class AskError(LookupError):
    """Something was asked for that the boat does not have; says what there is."""


def print_answer(path: Path, answer: Callable[[Boat], str]) -> int:
    """Open the boat and print the answer. 0 answered; 2 the file cannot be read, or has not what was asked for."""
    from engine.files.opening import OpenError, open_boat
    from engine.graph.boat import Boat
    from engine.library.device import load_library

    library = load_library()
    try:
        print(answer(Boat(open_boat(path, library).network, library)))
    except (OpenError, LookupError) as error:
        print(f"{path}: {error.args[0] if error.args else error}", file=sys.stderr)
        return 2
    return 0


def condition_named(boat: Boat, name: str) -> Condition:
    """The condition of that name or id, in capitals or not. Raises AskError."""
    for condition in boat.network.conditions:
        if name.casefold() in (condition.id.casefold(), condition.name.casefold()):
            return condition
    there = ", ".join(condition.name for condition in boat.network.conditions) or tr("none")
    raise AskError(tr("There is no condition “{name}”; there are: {there}.").format(name=name, there=there))


def keys_of(boat: Boat, name: str) -> list[str]:
    """The keys of a designation, a way as A1.3, or a wire number. Raises AskError with what is alike."""
    wanted = name.casefold()
    known: dict[str, list[str]] = {}
    for part in boat.network.parts:
        known.setdefault(part.designation.casefold(), []).append(f"part:{part.id}")
        for position in part.positions:
            known.setdefault(f"{part.designation}.{position.key}".casefold(), []).append(
                f"position:{part.id}/{position.key}"
            )
    for each in boat.network.runs:
        known.setdefault(each.number.casefold(), []).append(f"run:{each.id}")
    if not wanted or wanted not in known:
        import difflib

        close = ", ".join(difflib.get_close_matches(wanted, known, 3, 0.5))
        hint = tr(" Did you mean {close}?").format(close=close) if close else ""
        raise AskError(tr("There is no part, way or wire “{name}”.").format(name=name) + hint)
    return known[wanted]
