"""Fields as a person calls them."""

from __future__ import annotations

import pytest

from engine.library.device import load_library
from engine.library.field_names import field_text, value_text


@pytest.mark.parametrize(
    ("field", "text"),
    [("length_m", "length"), ("length_basis", "length basis"), ("internal_mohm", "internal"), ("charge_pct", "charge")],
)
def test_without_its_unit(field: str, text: str) -> None:
    assert field_text(field) == text


def test_by_the_title_that_the_kind_gives_it() -> None:
    lamp, battery = (load_library()[name] for name in ("lamp", "battery"))
    assert value_text(lamp, "running_a") == "running current"
    assert value_text(battery, "short_circuit_a") == "short-circuit current by its maker"
    assert value_text(lamp, "no_such_a") == value_text(None, "no_such_a") == "no such"


def test_every_value_of_every_device_has_a_name_without_underscores() -> None:
    library = load_library()
    assert [
        (kind.id, spec.name) for kind in library.values() for spec in kind.value if "_" in value_text(kind, spec.name)
    ] == []
