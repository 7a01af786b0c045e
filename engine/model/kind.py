"""What an edit needs to know of a device kind. DeviceKind fits it; the model does not import the library."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from engine.model.quantity import Value


class KindValue(Protocol):
    """One value of a kind, and what a new part says for it."""

    @property
    def name(self) -> str: ...
    @property
    def default(self) -> Value: ...


class KindPort(Protocol):
    """A port and the poles it takes."""

    @property
    def name(self) -> str: ...
    @property
    def poles(self) -> tuple[str, ...]: ...


class Kind(Protocol):
    """A device kind, as far as placing and connecting need it."""

    @property
    def id(self) -> str: ...
    @property
    def letter(self) -> str: ...
    @property
    def role(self) -> str: ...
    @property
    def inline(self) -> tuple[str, ...]: ...
    @property
    def port(self) -> Sequence[KindPort]: ...
    @property
    def value(self) -> Sequence[KindValue]: ...
