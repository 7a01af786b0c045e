"""A boat whose wiring has no rings, and edits of it that seldom close one: what is begun with the boat before is begun there."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import msgspec

from engine.model.network import Network, Run
from tests.graph.test_demand import boat

BUSES = 7


def forest(random: Random) -> Network:
    """Batteries, a charger and loads on buses, with a fuse before each bus."""
    lines = ["G1 battery nominal_v=12", "G2 battery nominal_v=12", "T1 shore_charger output_a=20"]
    lines += [f"W{900 + n} bus_positive studs=20" for n in range(BUSES)]
    lines += [f"W{800 + n} bus_negative studs=20" for n in range(BUSES)]
    lines += [f"F{n} fuse_bolt {random.randrange(10, 90)} A" for n in range(1, BUSES)]
    lines += [f"E{n} lamp running_a={random.randrange(1, 9)}" for n in range(12)]
    random.shuffle(lines)
    for n in range(1, BUSES):
        above = random.randrange(n)
        lines += [f"W{n}: W{900 + above}.s{n + 1} - F{n}.a +", f"W{20 + n}: F{n}.b - W{900 + n}.s1 +"]
        lines.append(f"W{40 + n}: W{800 + above}.s{n + 1} - W{800 + n}.s1 -")
    for n, live in enumerate(("G1.pos", "G2.pos", "T1.out1")):
        at = random.randrange(BUSES)
        lines += [
            f"W{60 + n}: {live} - W{900 + at}.s{18 + n} +",
            f"W{65 + n}: {live[:2]}.neg - W{800 + at}.s{18 + n} -",
        ]
    for n in range(12):
        at = random.randrange(BUSES)
        lines += [
            f"W{70 + n}: W{900 + at}.s{9 + n % 8} - E{n}.supply +",
            f"W{85 + n}: W{800 + at}.s{9 + n % 8} - E{n}.supply -",
        ]
    return boat("\n".join(lines)).network


def edits(random: Random, rounds: int) -> Iterator[Network]:
    """The forest, and what becomes of it as runs go, come back and are led elsewhere, and ratings change."""
    network = forest(random)
    gone: list[Run] = []
    for _ in range(rounds):
        yield network
        runs, at = list(network.runs), random.randrange(len(network.runs))
        if gone and random.random() < 0.55:
            run = gone.pop(random.randrange(len(gone)))
            if random.random() < 0.15:
                run = msgspec.structs.replace(
                    run, a=random.choice([each.a for each in runs if each.poles == run.poles])
                )
            runs.insert(at, run)
        else:
            gone.append(runs.pop(at))
        network = msgspec.structs.replace(network, runs=tuple(runs))
        if random.random() < 0.1:
            network = with_other_rating(random, network)


def with_other_rating(random: Random, network: Network) -> Network:
    """One fuse more or less strong, or of unknown rating."""
    fuse = random.choice([part for part in network.parts if part.kind == "fuse_bolt"])
    rated = {**fuse.values, "rating_a": random.choice((random.randrange(10, 90), None))}
    other = msgspec.structs.replace(fuse, values={name: value for name, value in rated.items() if value is not None})
    return msgspec.structs.replace(network, parts=tuple(other if part is fuse else part for part in network.parts))
