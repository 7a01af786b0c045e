"""The published schema is the one the records make."""

from engine.files.record import BoatFile
from engine.files.schema import SCHEMA_FILE, schema, schema_text


def test_the_committed_schema_is_current() -> None:
    """Write it anew with: python -m engine.files.schema"""
    assert SCHEMA_FILE.read_text(encoding="utf-8") == schema_text()


def test_the_schema_names_every_field_and_refuses_others() -> None:
    boat = schema()["$defs"]["BoatFile"]
    assert list(boat["properties"]) == list(BoatFile.__struct_fields__)
    assert boat["additionalProperties"] is False
    assert boat["required"] == ["loomwright", "next_id", "sheets"]
