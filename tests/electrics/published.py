"""Reading the published values in tests/references."""

from __future__ import annotations

import csv
from pathlib import Path

REFERENCES = Path(__file__).parent.parent / "references"


def published(name: str) -> list[dict[str, str]]:
    with (REFERENCES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
