"""What a sketch that cannot be read says: every mistake at once, each with its place and what to write instead."""

from __future__ import annotations

import pytest

from engine.sketch import SketchError, read_sketch
from tests.files.boats import LIBRARY

GROUND = "space engine kind=engine\nG1 battery\nF1 fuse_bolt\nA1 dc_panel\n  1 fuse 5 A\nE1 lamp\nQ1 selector\n"
"""Seven sound lines; what is wrong stands in line 8."""


def messages(text: str) -> list[str]:
    with pytest.raises(SketchError) as caught:
        read_sketch(text, LIBRARY, "boat.txt")
    return str(caught.value).splitlines()


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("F2 fuse_blot 100 A", "8:4: unknown kind “fuse_blot”; did you mean fuse_bolt?"),
        ("F2", "8:1: “F2” alone says nothing; write: designation kind …"),
        ("F1 fuse_bolt", "8:1: “F1” is already on line 3; write F1~2 when the boat carries it twice"),
        ("G2 battery 100 A", "8:12: a battery has no rating_a; write key=value"),
        ("G2 battery capacity=90", "8:12: unknown key “capacity”; did you mean capacity_ah?"),
        ("G2 battery capacity_ah=big", "8:24: “big” is not a number; write a number, a range like 150..175, or ?"),
        ("G2 battery capacity_ah=9..8", "8:24: the range 9..8 runs backwards; write 8..9"),
        ("G2 battery capacity_ah=1e999", "8:24: 1e999 is too large; write a number that exists"),
        ("G2 battery chemistry=agm", "8:22: unknown chemistry “agm”; did you mean AGM?"),
        ("G2 battery post_guards=maybe", "8:24: “maybe” is neither yes nor no; write yes, no or ?"),
        ("G2 battery @enigne", "8:13: unknown space “enigne”; did you mean engine?"),
        ("G2 battery in=engine", "8:15: unknown box “engine”"),
        ('G2 battery "a" "b"', '8:16: a second label; one "label" a line; use note="..." for more'),
        ('G2 battery "a', '8:12: a quoted text is not closed; end it with "'),
        ("F2 fuse_bolt 9 A 8 A", "8:18: “8” says rating_a a second time; leave one out"),
        ("W1: G1.plus - F1.a +", "8:8: unknown port of G1 (battery) “plus”; did you mean pos?"),
        ("W1: A1.2 - E1.supply +", "8:8: unknown port of A1 (dc_panel) “2”; write one of: feed, p1"),
        ("W1: G1.pos - F7.a +", "8:14: unknown part “F7”; did you mean F1?"),
        ("W1: G1 - F1.a +", "8:5: “G1” names no port; write part.port"),
        ("W1: G1.pos F1.a +", "8:1: a run without its two ends; write number: part.port - part.port …"),
        ("W1: G1.pos - F1.a +x", "8:19: unknown poles “+x”; did you mean +?"),
        ("W1: G1.pos - F1.a ++", "8:19: a pole twice in ++; name each pole once"),
        ("W1: G1.neg - F1.a", "8:14: the two ports have no pole in common; name the poles: + - L N PE BOND"),
        ("W1: G1.pos - G1.pos +", "8:14: both ends on one port; lead it to another port"),
        ("W1: G1.pos - F1.a + RT", "8:21: unknown colour “RT”; did you mean VT?"),
        ("W1: G1.pos - F1.a + RD,BK", "8:1: 2 colours for the poles +; one for each pole, or ? for it"),
        ("W1: G1.pos - F1.a + shed", "8:21: “shed” has no meaning in a run line; did you mean sheath?"),
        ("W1: G1.pos - F1.a + 3 m 2 m", "8:25: “2” says length_m a second time; leave one out"),
        ("W1: G1.pos - F1.a + tinned bare", "8:28: “bare” says tinned a second time; leave one out"),
        ("W1: G1.pos - F1.a + via=bow", "8:25: unknown space “bow”; write one of: engine"),
        ("condition sea Q1=on", "8:18: unknown switch position “on”; write one of: off, 1, 2, both"),
        ("condition sea E1=often", "8:18: “often” is not a number; write a number, a range like 150..175, or ?"),
        ("evidence G1.capacity_ah seen 9", "8:25: unknown kind of evidence “seen”; write one of: design,"),
        ("evidence G1.capacty_ah design 9", "8:13: unknown field “capacty_ah”; did you mean capacity_ah?"),
        ("evidence G9.capacity_ah design 9", "8:10: unknown part “G9”; did you mean G1?"),
        ("evidence W1:size design", "8:10: unknown wire “W1”"),
        ("boat rules=uk", "8:12: unknown rulebook “uk”; did you mean us?"),
        ("boat nonsense", '8:6: “nonsense” has no meaning here; write key=value, or put a text in "quotes"'),
        ("space engine kind=engine", "8:7: the id “engine” is taken; choose another id"),
        ("option p1", "8:8: the id “p1” is taken; choose another id"),
        ("option a needs=b", "8:16: unknown option “b”; write one of: a"),
        ("boat units=?", "8:12: unknown unit system “?”; write one of: us, metric"),
    ],
)
def test_says_where_what_and_what_instead(line: str, message: str) -> None:
    assert any(said.startswith(f"boat.txt:{message}") for said in messages(GROUND + line)), messages(GROUND + line)


@pytest.mark.parametrize(
    ("way", "message"),
    [
        ("1 breaker 5 A", "3:3: the way “1” is there twice; number it anew"),
        ("2 5 A", "3:3: the way “2” has no device; write one of: breaker, fuse, switch, none"),
        ("2 braker 5 A", "3:5: unknown word “braker”; did you mean breaker?"),
        ("2 breaker 7P", "3:13: 7P is no number of poles; write 1P, 2P, 3P or 4P"),
    ],
)
def test_ways_of_a_panel(way: str, message: str) -> None:
    assert f"boat.txt:{message}" in messages(f"A1 dc_panel\n  1 fuse\n  {way}\n")


def test_ways_only_below_a_panel() -> None:
    assert messages("E1 lamp\n  1 fuse\n") == ["boat.txt:2:3: a lamp has no ways; begin the line at the margin"]
    assert messages('boat "B"\n  1 fuse\n') == [
        "boat.txt:2:3: an indented line with no part above it; begin the line at the margin"
    ]


def test_all_mistakes_are_told_at_once_in_the_order_of_the_text() -> None:
    told = messages("W1: G1.pos - F1.a\nF1 fuse_blot\nspace\nG1 battery post_guards=1\n")
    assert [line.split(":")[1] for line in told] == ["1", "2", "3", "4"]


def test_a_text_set_in_from_the_margin_keeps_its_columns() -> None:
    assert messages("    G1 battery\n      capacity_ah=x\n")[0].startswith("boat.txt:2:19:")
