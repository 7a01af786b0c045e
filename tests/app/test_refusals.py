"""Every refusal of an edit has a sentence, and every sentence gets its values."""

import ast
from pathlib import Path

import pytest

from app.refusals import sentence
from engine.model.edits.records import EditRefused

ROOT = Path(__file__).parents[2]
SOURCES = [*(ROOT / "engine" / "model").rglob("*.py"), ROOT / "app" / "store.py"]


def refusals() -> list[tuple[str, tuple[str, ...]]]:
    """(code, names of its values) of each EditRefused(...) in the sources; codes handed on as arguments too."""
    found = {("no-such-part", ("id",)), ("no-such-run", ("id",)), ("no-such-sheet", ("id",))}
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "EditRefused" and node.args:
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    names = node.args[1] if len(node.args) > 1 else None
                    keys = names.keys if isinstance(names, ast.Dict) else []
                    found.add((str(code.value), tuple(key.value for key in keys if isinstance(key, ast.Constant))))
    return sorted(found)


def test_the_search_finds_them() -> None:
    assert len(refusals()) >= 25


@pytest.mark.parametrize(("code", "names"), refusals(), ids=lambda value: value if isinstance(value, str) else "")
def test_a_refusal_reads_as_a_sentence(code: str, names: tuple[str, ...]) -> None:
    if code == "no-common-pole":
        names = ("a", "b", "a_port", "b_port")
    text = sentence(EditRefused(code, {name: f"<{name}>" for name in names}))
    assert text.endswith((".", ">"))
    assert code not in text
    assert "{" not in text
