"""What the commands that answer a question about one boat have in common: opening it, naming a condition, saying what is wrong."""

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
