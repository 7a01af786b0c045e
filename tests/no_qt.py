"""Plugin that blocks PySide6: `pytest -p tests.no_qt` shows that the engine works where Qt is absent."""

from __future__ import annotations

import sys
from importlib.abc import MetaPathFinder


class Blocker(MetaPathFinder):
    """Refuses every import of PySide6 and shiboken6."""

    def find_spec(self, fullname: str, path: object = None, target: object = None) -> None:
        if fullname.split(".")[0] in ("PySide6", "shiboken6"):
            raise ModuleNotFoundError(f"{fullname} is blocked for this run", name=fullname)


sys.meta_path.insert(0, Blocker())
