"""What has a remedy and what has none is stated, and true."""

from __future__ import annotations

from tests.remedies.table import TABLE, table


def test_the_table_is_what_the_tool_offers() -> None:
    assert TABLE.read_text(encoding="utf-8") == table(), "write it again: python -m tests.remedies.table"
