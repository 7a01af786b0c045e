"""Leading runs over a bare grid: few bends, lanes of their own, round things, the same every time."""

from __future__ import annotations

from engine.drawing.leads import Lead, Led, Terminal, tidy
from engine.drawing.ports import Side
from engine.drawing.routing import lead_runs, parting_nodes
from engine.drawing.search import Steps, _Grid, search
from engine.drawing.tracks import Node, Tracks, node_at, point_at, unit_nodes

PRICE = (3.0, 15.0, 0.7)


def terminal(name: str, x: float, y: float, *sides: Side) -> Terminal:
    return Terminal((name, "a"), node_at(x, y), sides)


def lead(run: str, a: Terminal, b: Terminal, *bends: Node) -> Lead:
    return Lead(run, a, b, bends)


def right(name: str, x: float, y: float) -> Terminal:
    return terminal(name, x, y, "right")


def left(name: str, x: float, y: float) -> Terminal:
    return terminal(name, x, y, "left")


def tracks() -> Tracks:
    return Tracks(420.0, 297.0)


def bends(led: Led) -> int:
    return len(led.corners) - 2


def test_pins_in_line_are_joined_straight() -> None:
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 50))], tracks())["w1"]
    assert led.points() == ((50.0, 50.0), (150.0, 50.0))


def test_a_shift_takes_two_bends() -> None:
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 80))], tracks())["w1"]
    assert bends(led) == 2


def test_a_run_goes_round_a_part_and_keeps_off_it() -> None:
    grid = tracks()
    box = (90.0, 30.0, 110.0, 70.0)
    grid.block(box, 2.49)
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 50))], grid)["w1"]
    assert led.clear
    for x, y in (point_at(node) for node in unit_nodes(led.corners)):
        assert not (87.5 < x < 112.5 and 27.5 < y < 72.5)


def test_a_run_out_of_a_pocket_is_searched_for() -> None:
    grid = tracks()
    for box in (
        (40.0, 30.0, 100.0, 32.5),
        (40.0, 70.0, 100.0, 72.5),
        (100.0, 30.0, 102.5, 72.5),
        (30.0, 30.0, 32.5, 90.0),
    ):
        grid.block(box, 2.49)
    led = lead_runs([lead("w1", right("a", 60, 50), left("b", 150, 50))], grid)["w1"]
    assert led.clear
    assert led.searched


def test_where_there_is_no_way_it_says_so() -> None:
    grid = tracks()
    walls = ((40.0, 30.0, 105.0, 35.0), (40.0, 70.0, 105.0, 75.0), (100.0, 30.0, 105.0, 75.0), (40.0, 30.0, 45.0, 75.0))
    for box in walls:
        grid.block(box, 2.49)
    led = lead_runs([lead("w1", right("a", 60, 50), left("b", 150, 50))], grid)["w1"]
    assert not led.clear
    assert led.points()[0] == (60.0, 50.0)
    assert led.points()[-1] == (150.0, 50.0)


def test_parallel_runs_take_lanes_of_their_own() -> None:
    leads = [lead(f"w{n}", right(f"a{n}", 50, 50 + 10 * n), left(f"b{n}", 150, 100 + 10 * n)) for n in range(6)]
    led = lead_runs(leads, tracks())
    nodes = [set(unit_nodes(one.corners[1:-1])) for one in led.values()]
    for n, one in enumerate(nodes):
        for other in nodes[n + 1 :]:
            assert len(one & other) <= 1


def test_runs_of_one_port_part_at_a_joint() -> None:
    shared = right("a", 50, 50)
    leads = [lead("w1", shared, left("b", 150, 50)), lead("w2", shared, left("c", 150, 80))]
    led = lead_runs(leads, tracks())
    assert parting_nodes(list(led.values())) == [node_at(52.5, 50)]


def test_runs_of_one_port_that_cross_farther_on_have_no_joint_there() -> None:
    shared = right("a", 50, 50)
    upper = (node_at(80, 50), node_at(80, 70), node_at(150, 70))
    lower = (node_at(60, 50), node_at(60, 90), node_at(100, 90), node_at(100, 40))
    leads = [lead("w1", shared, left("b", 150, 70), *upper), lead("w2", shared, left("c", 150, 40), *lower)]
    led = lead_runs(leads, tracks())
    assert {node_at(100, 70)} < set(unit_nodes(led["w1"].corners)) & set(unit_nodes(led["w2"].corners))
    assert parting_nodes(list(led.values())) == [node_at(60, 50)]


def test_bends_set_by_hand_are_followed() -> None:
    by_hand = (node_at(80, 50), node_at(80, 120), node_at(140, 120))
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 120), *by_hand)], tracks())["w1"]
    assert led.points() == ((50.0, 50.0), (80.0, 50.0), (80.0, 120.0), (150.0, 120.0))


def test_a_bend_out_of_line_is_reached_by_way_of_the_pin() -> None:
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 120), node_at(90, 80))], tracks())["w1"]
    assert led.points() == ((50.0, 50.0), (90.0, 50.0), (90.0, 120.0), (150.0, 120.0))
    led = lead_runs([lead("w1", right("a", 50, 50), left("b", 150, 120), node_at(30, 80))], tracks())["w1"]
    assert led.points()[:4] == ((50.0, 50.0), (52.5, 50.0), (52.5, 80.0), (30.0, 80.0))


def test_a_kept_way_stays_while_it_is_free() -> None:
    one = lead("w1", right("a", 50, 50), left("b", 150, 80))
    detour = Led(one, tidy((one.a.node, node_at(70, 50), node_at(70, 80), one.b.node)), 60.0)
    assert lead_runs([one], tracks(), {"w1": detour})["w1"] is detour
    grid = tracks()
    grid.block((65.0, 60.0, 75.0, 70.0), 2.49)
    assert lead_runs([one], grid, {"w1": detour})["w1"].corners != detour.corners


def test_upright_stretches_may_be_crossed_and_not_shared() -> None:
    grid = tracks()
    grid.lay((node_at(50, 50), node_at(150, 50)))
    assert grid.stretch(node_at(100, 30), node_at(100, 70), ()) == (1, 0)
    assert grid.stretch(node_at(60, 50), node_at(70, 50), ()) is None
    grid.lay((node_at(200, 30), node_at(200, 70)))
    assert grid.stretch(node_at(200, 40), node_at(200, 60), ()) is None
    assert grid.stretch(node_at(190, 50), node_at(210, 50), ()) == (1, 0)


def test_a_line_taken_up_leaves_no_trace() -> None:
    grid = tracks()
    before = (list(grid.level_row), list(grid.upright_column), bytes(grid.cells))
    corners = (node_at(50, 50), node_at(80, 50), node_at(80, 90))
    grid.lay(corners)
    grid.lift(corners, ())
    assert (list(grid.level_row), list(grid.upright_column), bytes(grid.cells)) == before


def test_the_search_finds_the_shortest_way_on_open_ground() -> None:
    start, end = node_at(50, 50), node_at(100, 75)
    way = search(tracks(), {start: (1, 0)}, {end: (-1, 0)}, PRICE, Steps(40_000))
    assert way is not None
    assert way[0] == 30 + 2 * 3.0


def test_the_searches_of_one_drawing_share_their_steps() -> None:
    steps = Steps(40_000)
    assert search(tracks(), {node_at(50, 50): (1, 0)}, {node_at(100, 75): (-1, 0)}, PRICE, steps) is not None
    assert 0 < steps.left < 40_000
    assert search(tracks(), {node_at(50, 50): (1, 0)}, {node_at(100, 75): (-1, 0)}, PRICE, Steps(3)) is None


def test_an_end_that_is_walled_in_is_seen_before_anything_is_searched() -> None:
    """A port inside another part's box cost some 0.4 s a run: every cell of the sheet was tried from the other end."""
    grid = tracks()
    for box in (
        (140.0, 30.0, 205.0, 35.0),
        (140.0, 70.0, 205.0, 75.0),
        (200.0, 30.0, 205.0, 75.0),
        (140.0, 30.0, 145.0, 75.0),
    ):
        grid.block(box, 2.49)
    starts, ends = {node_at(50, 50): (1, 0)}, {node_at(170, 50): (-1, 0)}
    assert _Grid(grid, starts, ends, PRICE).is_walled_in()
    assert search(grid, starts, ends, PRICE, Steps(40_000)) is None
    assert not _Grid(tracks(), starts, ends, PRICE).is_walled_in()
