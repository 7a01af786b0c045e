"""The base of every record in the boat file."""

from __future__ import annotations

import msgspec


class Record(msgspec.Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True, gc=False):
    """Base of every record in the file: frozen, strict, written without its defaults.

    The garbage collector need not look at them: what is frozen cannot come to hold itself.
    """
