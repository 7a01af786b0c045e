"""The legend lists what a sheet shows and nothing else."""

from __future__ import annotations

from engine.drawing.bounds import items_box, texts
from engine.drawing.labels import Ground
from engine.drawing.legend import Used, is_own_symbol, legend_group, rows
from tests.drawing.boats import symbols

ROOM = (25.0, 250.0, 225.0, 285.0)


def test_only_what_is_used_is_listed() -> None:
    listed = rows(Used(colours=("RD", "GNYE"), classes=("heavy",), severities=("danger",), hops=True))
    assert [row.text for row in listed] == [
        "RD  red",
        "GNYE  green and yellow",
        "battery cable, 2 AWG or 35 mm² and larger",
        "crossing, not joined",
        "finding: danger",
    ]


def test_nothing_used_gives_no_legend() -> None:
    assert legend_group(rows(Used()), ROOM, Ground()) is None


def test_it_takes_more_columns_where_the_room_is_low() -> None:
    listed = rows(Used(colours=("RD", "YE", "BK", "WH", "GN", "BU", "BN", "GY", "OG")))
    group = legend_group(listed, ROOM, Ground())
    assert group is not None
    box = items_box(group.items)
    assert box is not None
    assert box[1] >= ROOM[1] - 0.1
    assert box[2] <= ROOM[2] + 0.1
    assert {text.string for text in texts(group.items)} >= {"Legend", "RD  red", "OG  orange"}


def test_it_stands_on_free_ground_or_not_at_all() -> None:
    ground = Ground()
    ground.take(ROOM)
    assert legend_group(rows(Used(colours=("RD",))), ROOM, ground) is None


def test_symbols_of_our_own_are_marked() -> None:
    assert is_own_symbol(symbols()["windlass"])
    assert not is_own_symbol(symbols()["battery"])
    assert rows(Used(symbols=(symbols()["windlass"],)))[0].text.endswith(" *")
