"""The whole check of the 500-run boat against json.dumps of it: as it is opened, after an edit, and what each stage takes then.

python -m tests.bench.check
"""

from __future__ import annotations

import gc
import json
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import count, cycle

import msgspec

from engine.checking import LENGTH, Line, Told, analysis_of
from engine.files.codec import decode_boat, encode_boat
from engine.graph.boat import Boat
from engine.library.device import Library, load_library
from engine.model import kept
from engine.model.document import Document
from engine.model.edits.fields import set_position, set_run_fields, set_value
from engine.model.edits.placing import delete
from engine.model.network import Network
from engine.pipeline import analyse
from engine.rules.recall import Recall
from engine.rules.runner import books_of, load_rules, run_rules
from engine.rules.shares import SHARES
from tests.bench.boat import big_boat
from tests.bench.rounds import ROUNDS, line, minima

WIDTH = 36
STAGES: dict[str, Callable[[Boat], object]] = {
    "graphs, rails, strands": lambda boat: boat.graphs,
    "islands, rings": lambda boat: (boat.islands, boat.rings),
    "sources": lambda boat: boat.sources,
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
    opened = cycle([decode_boat(data).network for _ in range(2 * ROUNDS)])
    ours, theirs = minima(lambda: _from_nothing(next(opened), library), lambda: json.dumps(tree))
    print(line("whole check from nothing, one process", ours, theirs, f"{ours / theirs:.0f}x", "20x", "5x"))
    _after_edits(document, library, tree)
    ours, theirs = minima(lambda: decode_boat(data), lambda: json.loads(data))
    print(line("load and validate against json.loads", ours, theirs, f"{ours / theirs:.1f}x", "1.3x", "0.4x"))
    _stages(document, library)
    return 0


def _from_nothing(network: Network, library: Library) -> None:
    """With nothing carried from the boat before."""
    kept.forget()
    analyse(network, library)


def _after_edits(document: Document, library: Library, tree: object) -> None:
    """As the editor asks: in two processes that have met the boat, findings put together."""
    askers = [subprocess.Popen([sys.executable, "-m", "engine.checking"], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
              for _ in range(SHARES)]  # fmt: skip
    lines = [Line() for _ in askers]

    def check(edited: Document) -> None:
        for number, (asker, written) in enumerate(zip(askers, lines, strict=True)):
            assert asker.stdin is not None
            asker.stdin.write(written.asking(1, edited.network, share=number, shares=SHARES))
            asker.stdin.flush()
        analysis_of([_answer(asker) for asker in askers], edited.network, library)

    check(document)
    for name, boats in _edited(document).items():
        ours, theirs = minima(lambda boats=boats: check(next(boats)), lambda: json.dumps(tree))
        row = f"edit to whole check: {name}, against json.dumps"
        print(line(row, ours, theirs, f"{ours / theirs:.1f}x", "20x", "5x"))
    for asker in askers:
        asker.communicate()


def _answer(asker: subprocess.Popen[bytes]) -> Told:
    assert asker.stdout is not None
    (length,) = LENGTH.unpack(asker.stdout.read(LENGTH.size))
    return msgspec.msgpack.decode(asker.stdout.read(length), type=Told)


def _edited(document: Document) -> dict[str, Iterator[Document]]:
    """By what is edited the boats of the rounds, each another than the one before."""
    run, last = document.network.runs[5].id, document.network.runs[-1].id
    fuse = next(part.id for part in document.network.parts if "rating_a" in part.values)
    panel = next(part for part in document.network.parts if part.positions)
    way, without = panel.positions[0].key, delete(document, [f"run:{last}"])
    lamp = [part.id for part in document.network.parts if part.kind == "lamp"][-1]
    unloaded = delete(document, [f"part:{lamp}"])
    return {
        "size": (set_run_fields(document, run, size=size) for size in cycle(("16 AWG", "12 AWG"))),
        "label": (set_position(document, panel.id, way, label=f"Circuit {number}") for number in count()),
        "rating": (set_value(document, fuse, "rating_a", 30.0 + number) for number in count()),
        "one run less or more": (without if gone else document for gone in cycle((True, False))),
        "one load with its runs less or more": (unloaded if gone else document for gone in cycle((True, False))),
    }


def _stages(document: Document, library: Library) -> None:
    """All in one process: what each stage takes from nothing, and after each kind of edit."""
    columns: dict[str, dict[str, float]] = {"from nothing": defaultdict(lambda: float("inf"))}
    names = ("size", "rating", "one run less or more", "one load with its runs less or more")
    boats = {name: _edited(document)[name] for name in names}
    gc.disable()
    for _ in range(15):
        kept.forget()
        _time_stages(columns["from nothing"], document.network, library, Recall())
    for name, edited in boats.items():
        columns[name], recall = defaultdict(lambda: float("inf")), Recall()
        run_rules(Boat(document.network, library), recall=recall)
        for _ in range(15):
            _time_stages(columns[name], next(edited).network, library, recall)
    gc.enable()
    print(f"    {'ms in one process':<28} " + "".join(f"{name:>{WIDTH}}" for name in columns))
    for stage in columns["from nothing"]:
        print(f"    {stage:<28} " + "".join(f"{1e3 * least[stage]:>{WIDTH}.2f}" for least in columns.values()))


def _time_stages(least: dict[str, float], network: Network, library: Library, recall: Recall) -> None:
    boat, books = Boat(network, library), books_of(network.particulars)
    _note(least, "what changed", lambda: recall.turn_to(boat))
    for name, work in STAGES.items():
        _note(least, name, lambda work=work: work(boat))
    for family, rules in _families().items():
        _note(least, f"rules: {family}", lambda rules=rules: run_rules(boat, books, rules, recall=recall))


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
