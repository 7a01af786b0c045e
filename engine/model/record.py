"""The base of every record in the boat file."""

from __future__ import annotations

import msgspec


class Record(msgspec.Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """Base of every record in the file: frozen, strict, written without its defaults."""
