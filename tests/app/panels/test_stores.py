"""Stores: everything in the library, found by any of its words, taken in hand by key or by mouse, drawn by its symbol."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon
from PySide6.QtTest import QTest

from app.canvas.drops import KIND_MIME
from app.canvas.tools.placing import PlaceTool
from app.panels.stores import children, kind_mime
from app.workbench import Workbench


def shown_kinds(bench: Workbench) -> list[str]:
    tree = bench.panes.stores.tree
    heads = [tree.topLevelItem(at) for at in range(tree.topLevelItemCount())]
    return [
        tree.kind_of(item)
        for head in heads
        if head and not head.isHidden()
        for item in children(head)
        if not item.isHidden()
    ]


def test_everything_in_the_library_is_there_with_its_symbol(bench: Workbench) -> None:
    assert sorted(shown_kinds(bench)) == sorted(bench.library)
    tree = bench.panes.stores.tree
    for at in range(tree.topLevelItemCount()):
        for item in children(tree.topLevelItem(at)):  # type: ignore[arg-type]
            image = QIcon(item.icon(0)).pixmap(46, 34).toImage()
            inked = sum(
                image.pixelColor(x, y).alpha() > 60 for x in range(image.width()) for y in range(image.height())
            )
            assert inked > 15, tree.kind_of(item)


@pytest.mark.parametrize(
    ("words", "kind"), [("bolt fuse", "fuse_bolt"), ("isolator", "battery_switch"), ("DC PANEL", "dc_panel")]
)
def test_search_finds_by_any_word(bench: Workbench, words: str, kind: str) -> None:
    bench.panes.stores.search.setText(words)
    found = shown_kinds(bench)
    assert kind in found
    assert len(found) < len(bench.library) / 2


def test_nothing_found_is_said(bench: Workbench) -> None:
    bench.panes.stores.search.setText("trombone")
    assert shown_kinds(bench) == []
    assert "trombone" in bench.panes.stores.empty.text()


def test_placed_by_keyboard_alone(bench: Workbench) -> None:
    before = len(bench.store.document.network.parts)
    bench.window.menus.run("place")
    search = bench.panes.stores.search
    assert search.hasFocus()
    QTest.keyClicks(search, "bolt fuse")
    QTest.keyClick(search, Qt.Key.Key_Return)
    assert isinstance(bench.view.tool, PlaceTool)
    assert bench.view.hasFocus()
    QTest.keyClick(bench.view, Qt.Key.Key_Right)
    QTest.keyClick(bench.view, Qt.Key.Key_Return)
    parts = bench.store.document.network.parts
    assert len(parts) == before + 1
    assert parts[-1].kind == "fuse_bolt"
    assert bench.selection.keys == {f"part:{parts[-1].id}"}


def test_a_double_click_takes_it_in_hand(bench: Workbench) -> None:
    tree = bench.panes.stores.tree
    head = tree.topLevelItem(0)
    assert head is not None
    tree.itemDoubleClicked.emit(children(head)[0], 0)
    assert isinstance(bench.view.tool, PlaceTool)


def test_what_is_dragged_is_a_kind() -> None:
    assert bytes(kind_mime("fuse_bolt").data(KIND_MIME).data()) == b"fuse_bolt"


def test_the_part_under_the_keyboard_is_explained(bench: Workbench) -> None:
    tree = bench.panes.stores.tree
    head = tree.topLevelItem(0)
    assert head is not None
    tree.setCurrentItem(children(head)[0])
    assert "Enter" in bench.window.foot.next_click.text()
