"""The one source of truth: what the boat is, and how it is drawn. A frozen value; nothing derived is ever stored."""

from __future__ import annotations

from engine.model.network import Network, Record
from engine.model.sheets import Sheet

FORMAT_VERSION = 1


class Document(Record, frozen=True, kw_only=True):
    """A boat's record: its network, its sheets, and the counter that new ids are taken from."""

    network: Network = Network()
    sheets: tuple[Sheet, ...] = (Sheet(id="s1", title="Direct current"),)
    next_id: int = 2
