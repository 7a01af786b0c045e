"""Modules that are loaded when they are first used, so that the first window need not wait for them."""

from __future__ import annotations

from importlib import import_module
from typing import Any


class Later:
    """Stands for a module until something of it is asked for."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, what: str) -> Any:
        return getattr(import_module(self._name), what)
