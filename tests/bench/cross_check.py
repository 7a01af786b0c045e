"""All 1,000 random networks (half DC, half AC, both rails) against ngspice; two to five minutes.

python -m tests.bench.cross_check [HOW MANY]
"""

from __future__ import annotations

import itertools
import sys

import numpy as np

from engine.studies.circuit import Circuit, Numbers
from engine.studies.solver import Solver
from tests.studies import spice
from tests.studies.random_networks import two_rails

REQUIRED = 1e-6


def main(count: int) -> int:
    """Print how far apart they are; 1 where a network is further than REQUIRED, or one side alone has a solution.

    Drawn until so many have been compared; what has no solution here is asked of ngspice all the same.
    """
    apart, collapsed, found_there, refused = [], 0, [], []
    for number in itertools.count():
        if len(apart) == count:
            break
        network = two_rails(number // 2, ac=bool(number % 2))
        state, answers = Solver(network).solve(), _theirs(network)
        if state.outcome != "solved":
            collapsed += 1
            found_there += [number] if answers is not None else []
        elif answers is None:
            refused.append(number)
        else:
            apart.append(float(np.abs(state.volts[:-1] - answers).max() / np.abs(answers).max()))
    print(
        f"{len(apart)} networks compared: median {np.median(apart):.1e}, worst {max(apart):.1e} (required {REQUIRED:.0e})"
    )
    print(
        f"{collapsed} have no solution here, of which ngspice has one for {found_there}; "
        f"it finds none for these, which have one here: {refused}"
    )
    return int(max(apart) > REQUIRED or bool(refused or found_there))


def _theirs(network: Circuit) -> Numbers | None:
    """The voltages by ngspice; None where it finds none."""
    try:
        return spice.volts_of(network, spice.run(spice.netlist(network)))
    except RuntimeError:
        return None


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
