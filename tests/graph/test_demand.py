"""The current that conductors carry in service: against counting by hand on trees, and in the shapes boats have."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.graph.boat import Boat
from engine.library.device import Library, load_library
from engine.sketch import read_sketch


@cache
def library() -> Library:
    return load_library()


def boat(sketch: str) -> Boat:
    return Boat(read_sketch(sketch, library()).network, library())


def carried(of: Boat, number: str, pole: str) -> tuple[float, float]:
    run = next(run for run in of.network.runs if run.number == number)
    demand = of.demand[run.id, pole]
    return demand.least_a, demand.most_a


@st.composite
def trees(draw: st.DrawFn) -> list[tuple[int, int]]:
    """(the bus each bus hangs on, the load at it in A) for buses 1, 2 …; bus 0 is at the battery."""
    count = draw(st.integers(1, 7))
    return [(draw(st.integers(0, n - 1)), draw(st.integers(0, 9))) for n in range(1, count + 1)]


def sketch_of(tree: list[tuple[int, int]]) -> str:
    lines = ["G1 battery nominal_v=12", "W900 bus_positive studs=20", "W0: G1.pos - W900.s1 +"]
    for n, (above, load) in enumerate(tree, 1):
        lines += [f"W{900 + n} bus_positive studs=20", f"E{n} lamp running_a={load}"]
        lines += [f"W{n}: W{900 + above}.s{n + 1} - W{900 + n}.s1 +", f"W{100 + n}: W{900 + n}.s20 - E{n}.supply +"]
    return "\n".join(lines)


def below(tree: list[tuple[int, int]], top: int) -> int:
    """What hangs on a bus, counted without any graph."""
    own = tree[top - 1][1]
    return own + sum(below(tree, n) for n, (above, _) in enumerate(tree, 1) if above == top)


@given(trees())
@settings(max_examples=40, deadline=None, derandomize=True)
def test_on_a_tree_each_conductor_carries_what_hangs_on_it(tree: list[tuple[int, int]]) -> None:
    of = boat(sketch_of(tree))
    for n in range(1, len(tree) + 1):
        assert carried(of, f"W{n}", "+") == pytest.approx((below(tree, n),) * 2)
    assert carried(of, "W0", "+")[1] == pytest.approx(sum(load for _, load in tree))


def test_the_return_carries_what_goes_out() -> None:
    of = boat("""
        G1 battery nominal_v=12
        E1 lamp running_a=5
        W1: G1.pos - E1.supply +
        W2: E1.neg - G1.neg -
        """)
    assert carried(of, "W1", "+") == carried(of, "W2", "-") == (5.0, 5.0)


def test_a_charger_pushes_its_output_and_a_range_stays_one() -> None:
    of = boat("""
        G1 battery nominal_v=12
        U1 shore_charger output_a=30
        E1 lamp running_a=2..3
        W1: U1.out1 - G1.pos +
        W2: G1.pos - E1.supply +
        """)
    assert carried(of, "W1", "+") == (30.0, 30.0)
    assert carried(of, "W2", "+") == (2.0, 3.0)


def test_an_unknown_load_leaves_the_upper_end_open_and_is_named() -> None:
    of = boat("""
        G1 battery nominal_v=12
        E1 lamp
        W1: G1.pos - E1.supply +
        """)
    demand = of.demand["w1", "+"]
    assert demand.most_a == float("inf")
    assert demand.unknown == (f"part:{of.network.parts[1].id} running_a",)


def test_between_two_batteries_no_more_flows_than_the_fuses_let_through() -> None:
    of = boat("""
        G1 battery nominal_v=12
        G2 battery nominal_v=12
        F1 fuse_bolt 40 A
        E1 windlass running_a=85
        W1: G1.pos - F1.a +
        W2: F1.b - G2.pos +
        W3: G2.pos - E1.supply +
        """)
    assert carried(of, "W2", "+")[1] == 40.0
    assert carried(of, "W3", "+") == (85.0, 85.0)


def test_a_ring_carries_only_what_the_ring_feeds() -> None:
    of = boat("""
        G1 battery nominal_v=12
        W91 bus_positive studs=6
        E1 bilge_pump running_a=5
        E2 windlass running_a=85
        W1: G1.pos - W91.s1 +
        W2: W91.s2 - E1.supply +
        W3: W91.s3 - E1.supply +
        W4: W91.s4 - E2.supply +
        """)
    assert carried(of, "W2", "+")[1] == 5.0
    assert carried(of, "W1", "+")[1] == 90.0


STRINGS = """
G1 battery nominal_v=24
G2 battery nominal_v=24
G3 battery nominal_v=24
T1 shore_charger output_a=300 self_limiting=yes
F1 fuse_class_t 100 A
F2 fuse_class_t 100 A
F3 fuse_class_t 100 A
W1 bus_positive studs=5
W2 bus_negative studs=5
1: G1.pos - F1.a +
2: F1.b - W1.s1 +
3: G2.pos - F2.a +
4: F2.b - W1.s2 +
7: G3.pos - F3.a +
8: F3.b - W1.s5 +
E1 windlass running_a=250
5: T1.out1 - W1.s3 +
6: W1.s4 - E1.supply +
11: G1.neg - W2.s1 -
12: G2.neg - W2.s2 -
13: T1.neg - W2.s3 -
14: E1.neg - W2.s4 -
15: G3.neg - W2.s5 -
"""


def test_the_return_of_a_string_carries_no_more_than_its_own_fuse_lets_through() -> None:
    """The charger's 300 A come back through three strings; each has a fuse of 100 A."""
    of = boat(STRINGS)
    assert carried(of, "11", "-")[1] == 100
    assert carried(of, "12", "-")[1] == 100
    assert carried(of, "13", "-")[1] == 300
    assert carried(of, "14", "-")[1] == 250
