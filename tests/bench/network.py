"""The network and fault rows of the speed goals, as ratios of minima of alternating rounds.

python -m tests.bench.network        # needs ngspice; about two minutes

The growth comes first: once a program has given back much memory, the C library keeps what small work gives back, as in an
editor that has run for a minute; before that it fetches a tenth of a millisecond's worth of pages from the system each time.

Every network has both rails. The rows against ngspice start from arrays, as its netlist does; the last rows start from a
boat.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from engine.files.opening import open_boat
from engine.graph.boat import Boat
from engine.library.device import load_library
from engine.studies.circuit import Numbers, circuit
from engine.studies.faults import _levels, impedances
from engine.studies.network import solve
from engine.studies.reduced import solve_many
from engine.studies.solver import Factors, Solver
from tests.bench.rounds import line, minima
from tests.studies import spice
from tests.studies.random_networks import boat_like

RUNS, MANY, CONDITIONS, REPEATS = 500, 50_000, 1024, 40
SEED = 5
SAMPLE = Path(__file__).parents[2] / "sample_boats" / "quill_34.boat"


def main() -> int:
    """Print every row."""
    if not spice.installed():
        print("ngspice is not installed: nothing to compare with")
        return 1
    network = boat_like(RUNS)
    text = spice.netlist(network)
    print(f"{RUNS} runs, {network.size} nodes, {len(network.loads.a)} loads; ours, theirs, ratio")
    _growth()
    _cold(network, text)
    _operating_point(network, text)
    _conditions(network, text)
    _faults(network)
    _boats()
    return 0


def _spice(text: str) -> None:
    subprocess.run(["ngspice", "-b"], input=text, capture_output=True, text=True, check=False)


def _cold(network: object, text: str) -> None:
    ours, theirs = minima(lambda: Solver(network).solve(), lambda: _spice(text))  # type: ignore[arg-type]
    print(line("cold network solution against ngspice -b", ours, theirs, f"{theirs / ours:.0f}x", "10x faster", "40x"))


def _operating_point(network: object, text: str) -> None:
    """ngspice's own operating point: the time of many in one process less that of one."""
    loop = text.replace("\nop\n", f"\nrepeat {REPEATS}\nop\nend\n")
    ours = float("inf")
    singles, loops = minima(lambda: _spice(text), lambda: _spice(loop))
    for _ in range(25):
        start = time.perf_counter()
        Solver(network).solve()  # type: ignore[arg-type]
        ours = min(ours, time.perf_counter() - start)
    theirs = (loops - singles) / (REPEATS - 1)
    print(line("same against its operating point in process", ours, theirs, f"{theirs / ours:.1f}x", "0.5x", "2x"))


def _growth() -> None:
    small, large = boat_like(RUNS), boat_like(MANY)
    state = Solver(large).solve()
    ours, theirs = minima(lambda: Solver(small).solve(), lambda: Solver(large).solve())
    print(line(f"growth t({MANY})/t({RUNS}), {state.outcome}", ours, theirs, f"{theirs / ours:.0f}", "250", "130"))


def _conditions(network: object, text: str) -> None:
    loads = network.loads  # type: ignore[attr-defined]
    share = np.random.default_rng(SEED).uniform(0.2, 1.0, (len(loads.a), CONDITIONS))

    def many() -> Numbers:
        return solve_many(Solver(network), loads.current_a[:, None] * share, loads.power_w[:, None] * share).volts  # type: ignore[arg-type]

    ours, theirs = minima(many, lambda: _spice(text))
    print(
        line(
            f"{CONDITIONS} conditions against one ngspice -b of one", ours, theirs, f"{ours / theirs:.1f}x", "5x", "3x"
        )
    )


def _faults(network: object) -> None:
    """The resistance seen at every place, live to return; ngspice pushes one ampere through each in one process."""
    size = network.size  # type: ignore[attr-defined]
    live = np.arange(0, size, 2)
    back = live - 1
    bare = circuit(size, branches=_rows(network), feeds=[])
    ours, _ = minima(lambda: impedances(Factors(bare), live, back), lambda: None)
    text = _probes(bare, live, back)
    start = time.perf_counter()
    got = subprocess.run(["ngspice", "-b"], input=text, capture_output=True, text=True, check=False).stdout
    theirs = time.perf_counter() - start
    ohms = np.array([float(row.split("=")[1]) for row in got.splitlines() if row.startswith("seen")])
    seen, _ = impedances(Factors(bare), live, back)
    apart = float(np.abs(seen - ohms).max() / np.abs(ohms).max()) if len(ohms) == len(live) else float("nan")
    work = f"fault resistance at {len(live)} places, {apart:.0e} apart"
    print(line(work, ours, theirs, f"{theirs / ours:.0f}x", "30x faster", "100x"))


def _rows(network: object) -> list[tuple[int, int, complex]]:
    """Conductors and the inner conductance of the sources; a fault is seen without the loads."""
    both = (network.branches, network.feeds)  # type: ignore[attr-defined]
    return [(int(a), int(b), float(y)) for part in both for a, b, y in zip(part.a, part.b, part.y_s, strict=True)]


def _probes(bare: object, live: Numbers, back: Numbers) -> str:
    text = spice.netlist(bare, "fault resistance")
    head, _, _ = text.partition(".control")
    head = "\n".join(row for row in head.splitlines() if not row.startswith(".nodeset"))
    probes = [
        f"IP{k} {spice._at(int(b))} {spice._at(int(a))} 0" for k, (a, b) in enumerate(zip(live, back, strict=True))
    ]
    steps = []
    for k, (a, b) in enumerate(zip(live, back, strict=True)):
        over = f"v({spice._at(int(a))})" + (f"-v({spice._at(int(b))})" if b >= 0 else "")
        steps += [f"alter ip{k} = 1", "op", f"let seen = {over}", "print seen", f"alter ip{k} = 0"]
    return "\n".join([head, *probes, ".control", "set numdgt=12", *steps, "quit", ".endc", ".end", ""])


def _boats() -> None:
    """From the document: pole graph, elements, both circuits, answers. No goal of their own."""
    library = load_library()
    boat = Boat(open_boat(SAMPLE, library).network, library)
    ours, theirs = minima(lambda: solve(boat), lambda: _levels(boat))
    runs = len(boat.network.runs)
    print(
        f"from the sample boat of {runs} runs: solve {1e3 * ours:.1f} ms, fault levels at every pole {1e3 * theirs:.1f} ms"
    )


if __name__ == "__main__":
    sys.exit(main())
