"""The JSON Schema of the boat file, generated from the records. `python -m engine.files.schema` writes it anew."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec

from engine.files.record import BoatFile
from engine.model.document import FORMAT_VERSION

SCHEMA_FILE = Path(__file__).with_name("boat.schema.json")


def schema() -> dict[str, Any]:
    """The schema of this version."""
    made = msgspec.json.schema(BoatFile)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Loomwright boat file, version {FORMAT_VERSION}",
        **made,
    }


def schema_text() -> str:
    """The schema as it is committed."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    SCHEMA_FILE.write_text(schema_text(), encoding="utf-8")
