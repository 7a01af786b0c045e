"""All 1,000 random networks (half DC, half AC, both rails) against ngspice; about two minutes.

python -m tests.bench.cross_check [HOW MANY]
"""

from __future__ import annotations

import sys

import numpy as np

from engine.studies.solver import Solver
from tests.studies import spice
from tests.studies.random_networks import two_rails

REQUIRED = 1e-6


def main(count: int) -> int:
    """Print how far apart they are; 1 where a network is further than REQUIRED."""
    apart, collapsed, refused = [], 0, 0
    for number in range(count):
        network = two_rails(number // 2, ac=bool(number % 2))
        state = Solver(network).solve()
        if state.outcome != "solved":
            collapsed += 1
            continue
        try:
            answers = spice.volts_of(network, spice.run(spice.netlist(network)))
        except RuntimeError:
            refused += 1
            continue
        apart.append(float(np.abs(state.volts[:-1] - answers).max() / np.abs(answers).max()))
    print(
        f"{len(apart)} networks compared: median {np.median(apart):.1e}, worst {max(apart):.1e} (required {REQUIRED:.0e})"
    )
    print(f"{collapsed} have no solution here; ngspice found none for {refused} others")
    return int(max(apart) > REQUIRED or refused > 0)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
