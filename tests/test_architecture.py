"""The direction of imports, stated so that breaking it fails: what a room may know is in DEVELOPERS.md."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# Each room may import the rooms listed after it, and itself.
ROOMS: dict[str, set[str]] = {
    "engine.messages": set(),
    "engine.units": {"engine.messages", "engine.electrics"},
    "engine.model": {"engine.messages", "engine.units", "engine.library"},
    "engine.library": {"engine.messages", "engine.model"},
    "engine.files": {"engine.messages", "engine.units", "engine.model", "engine.library", "engine.sketch"},
    "engine.sketch": {"engine.messages", "engine.units", "engine.model", "engine.library", "engine.electrics"},
    "engine.graph": {"engine.messages", "engine.model", "engine.library"},
    "engine.electrics": {
        "engine.messages",
        "engine.units",
        "engine.data",
        "engine.model",
        "engine.library",
        "engine.graph",
    },
    "engine.studies": {
        "engine.messages",
        "engine.units",
        "engine.data",
        "engine.model",
        "engine.library",
        "engine.graph",
        "engine.electrics",
    },
    "engine.rules": {
        "engine.studies",
        "engine.messages",
        "engine.units",
        "engine.model",
        "engine.library",
        "engine.graph",
        "engine.electrics",
    },
}
UPPER = {
    "engine.checking",
    "engine.remedies",
    "engine.pipeline",
    "engine.drawing",
    "engine.papers",
    "engine.export",
    "engine.command",
    "engine.cli",
}


def room_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


def imports_of(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found.add(node.module)
    return found


def modules(top: str) -> list[Path]:
    return sorted((ROOT / top).rglob("*.py"))


@pytest.mark.parametrize("path", modules("engine"), ids=lambda path: str(path.relative_to(ROOT)))
def test_engine_knows_neither_qt_nor_app(path: Path) -> None:
    heads = {name.split(".")[0] for name in imports_of(path)}
    assert not heads & {"PySide6", "app"}


@pytest.mark.parametrize("path", modules("engine"), ids=lambda path: str(path.relative_to(ROOT)))
def test_a_room_imports_only_what_it_may_know(path: Path) -> None:
    here = room_of(".".join(path.relative_to(ROOT).with_suffix("").parts))
    if here not in ROOMS:
        return
    wanted = {room_of(name) for name in imports_of(path) if name.startswith("engine.")} - {here}
    assert wanted <= ROOMS[here], f"{path} reaches up to {sorted(wanted - ROOMS[here])}"


def test_reportlab_stays_in_papers_export_and_metrics() -> None:
    allowed = {"papers", "export"}
    for path in modules("engine"):
        if any(name.split(".")[0] == "reportlab" for name in imports_of(path)):
            assert path.parent.name in allowed or path.name == "metrics.py", path


def test_every_room_is_named() -> None:
    found = {room_of(".".join(path.relative_to(ROOT).with_suffix("").parts)) for path in modules("engine")}
    assert found - set(ROOMS) - UPPER - {"engine.__init__", "engine.data"} == set()


def test_the_rule_bites(tmp_path: Path) -> None:
    bad = tmp_path / "bad.py"
    bad.write_text("from PySide6 import QtCore\nimport engine.rules.api\n")
    assert imports_of(bad) == {"PySide6", "engine.rules.api"}
