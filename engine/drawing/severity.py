"""How grave a finding is, the gravest first; last what cannot be told. Words only: needed before anything is drawn."""

from __future__ import annotations

from typing import Literal

Severity = Literal["danger", "requirement", "advice", "unknown"]
SEVERITIES: tuple[Severity, ...] = ("danger", "requirement", "advice", "unknown")
