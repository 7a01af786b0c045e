"""The whole check of the 500-run boat against json.dumps of it, and what each stage takes.

python -m tests.bench.check
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections import defaultdict
from collections.abc import Callable

from engine.files.codec import decode_boat, encode_boat
from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.model.network import Network
from engine.pipeline import analyse
from engine.rules.runner import books_of, load_rules, run_rules
from tests.bench.boat import big_boat
from tests.bench.rounds import line, minima

STAGES: dict[str, Callable[[Boat], object]] = {
    "pole graph": lambda boat: boat.graph,
    "conductors": lambda boat: boat.wires,
    "sources": lambda boat: boat.sources,
    "rails": lambda boat: boat.currents.rails,
    "flows, fuses fitted": lambda boat: boat.held_fitted,
    "flows, largest fuses": lambda boat: boat.currents.held_largest,
    "demand": lambda boat: boat.demand,
}


def main() -> int:
    """Print both rows and the stages."""
    library = load_library()
    document = big_boat(library)
    network, data = document.network, encode_boat(document)
    tree = json.loads(data)
    asked = analyse(network, library).report
    switches = sum(library[part.kind].role == "switch" for part in network.parts)
    print(
        f"{len(network.runs)} runs, {switches} switches, {asked.checks} checks by {len(asked.tallies)} rules; ours, theirs, ratio"
    )
    ours, theirs = minima(lambda: analyse(network, library), lambda: json.dumps(tree))
    print(line("whole check against json.dumps of the boat", ours, theirs, f"{ours / theirs:.0f}x", "20x", "5x"))
    ours, theirs = minima(lambda: decode_boat(data), lambda: json.loads(data))
    print(line("load and validate against json.loads", ours, theirs, f"{ours / theirs:.1f}x", "1.3x", "0.4x"))
    _stages(network)
    return 0


def _stages(network: Network) -> None:
    library = load_library()
    least: dict[str, float] = defaultdict(lambda: float("inf"))
    gc.disable()
    for _ in range(15):
        boat = Boat(network, library)
        for name, work in STAGES.items():
            _note(least, name, lambda work=work, boat=boat: work(boat))
        for family, rules in _families().items():
            books = books_of(network.particulars)
            _note(least, f"rules: {family}", lambda rules=rules, boat=boat, books=books: run_rules(boat, books, rules))
    gc.enable()
    for name, seconds in least.items():
        print(f"    {name:<28} {1e3 * seconds:7.2f} ms")


def _families() -> dict[str, list[object]]:
    families: dict[str, list[object]] = defaultdict(list)
    for rule in load_rules():
        families[rule.family].append(rule)
    return families


def _note(least: dict[str, float], name: str, work: Callable[[], object]) -> None:
    start = time.perf_counter()
    work()
    least[name] = min(least[name], time.perf_counter() - start)


if __name__ == "__main__":
    sys.exit(main())
