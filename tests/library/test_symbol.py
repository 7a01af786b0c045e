"""Reading symbol files: what comes out, and that every error is told with its line and field."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.library.symbol import SymbolError, load_symbols, read_symbol

GOOD = """title = "Test"
source = "drawn for this test"
box = [-2, -1, 2, 1]

[[pin]]
name = "a"
at = [-2, 0]
side = "left"

[[stroke]]
d = "M -2 0 H 2"
width = "heavy"
dash = true
lead = "a"

[[letter]]
text = "G"
at = [0, 0.5]

[[na.stroke]]
d = "M -2 0 H 0"

[tags]
designation = { at = [0, -2] }
data = { at = [1, 3], anchor = "start" }
"""


def test_a_file_becomes_a_symbol() -> None:
    symbol = read_symbol("test", GOOD)
    assert (symbol.name, symbol.title, symbol.box) == ("test", "Test", (-2, -1, 2, 1))
    assert symbol.pin("a").side == "left"
    assert symbol.iec.strokes[0].outline == (("M", (-2, 0)), ("L", (2, 0)))
    assert (symbol.iec.strokes[0].width, symbol.iec.strokes[0].dash, symbol.iec.strokes[0].lead) == ("heavy", True, "a")
    assert symbol.iec.letters[0].height_mm == 2.5
    assert symbol.tags.data.anchor == "start"
    with pytest.raises(KeyError, match="no pin b"):
        symbol.pin("b")


def test_the_north_american_form_takes_the_place_of_strokes_and_letters() -> None:
    symbol = read_symbol("test", GOOD)
    assert symbol.figure("na").strokes[0].outline[-1] == ("L", (0, 0))
    assert symbol.figure("na").letters == ()
    assert symbol.figure("iec") is symbol.iec
    plain = read_symbol("test", GOOD.replace('[[na.stroke]]\nd = "M -2 0 H 0"\n', ""))
    assert plain.figure("na") is plain.iec


@pytest.mark.parametrize(("old", "new", "told"), [
    ('side = "left"', 'side = "west"', "t.toml:8: pin[0].side"),
    ("at = [-2, 0]", "at = [-2]", "t.toml:7: pin[0].at"),
    ('name = "a"\nat', 'nam = "a"\nat', "t.toml:5: pin[0]: Object contains unknown field `nam`"),
    ('width = "heavy"', 'width = "fat"', "t.toml:12: stroke[0].width"),
    ("M -2 0 H 2", "M -2 0 H", "t.toml:11: stroke[0].d: H takes 1 numbers"),
    ("M -2 0 H 0", "-2 0", "t.toml:21: na.stroke[0].d: a path begins with M"),
    ("at = [0, 0.5]", 'at = "middle"', "t.toml:18: letter[0].at"),
    ("[tags]", "[labels]", "unknown field `labels`"),
    ('title = "Test"\n', "", "missing required field `title`"),
    ("data = { at = [1, 3], anchor = \"start\" }", "", "t.toml:23: tags: Object missing required field `data`"),
    ("box = [-2, -1, 2, 1]", "box = [-2, -1, 2]", "t.toml:3: box"),
    ('title = "Test"', "title = Test", "t.toml: Invalid value (at line 1"),
    ("anchor = \"start\"", "anchor = \"left\"", "t.toml:25: tags.data.anchor"),
])  # fmt: skip
def test_an_error_is_told_with_line_and_field(old: str, new: str, told: str) -> None:
    with pytest.raises(SymbolError) as caught:
        read_symbol("t", GOOD.replace(old, new))
    assert told in str(caught.value)


def test_all_errors_of_all_files_are_told_at_once(tmp_path: Path) -> None:
    bad = GOOD.replace('side = "left"', 'side = "west"').replace("M -2 0 H 2", "nonsense").replace("M -2 0 H 0", "M")
    (tmp_path / "one.toml").write_text(bad, encoding="utf-8")
    (tmp_path / "two.toml").write_text("title = ", encoding="utf-8")
    (tmp_path / "good.toml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "notes.txt").write_text("not a symbol", encoding="utf-8")
    with pytest.raises(SymbolError) as caught:
        load_symbols(tmp_path)
    assert [line.split(":")[0] for line in caught.value.lines] == ["one.toml"] * 3 + ["two.toml"]


def test_symbols_come_sorted_by_name() -> None:
    symbols = load_symbols()
    assert list(symbols) == sorted(symbols)
    assert all(symbol.name == name for name, symbol in symbols.items())
