"""What the program remembers between two starts: looks, recent files, where the docks were. A small JSON file."""

from __future__ import annotations

from pathlib import Path

import msgspec
from PySide6.QtCore import QStandardPaths

MOST_RECENT = 9


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that is remembered. Unknown entries of another version are passed over."""

    grid: bool = True
    dark: bool = False
    dark_sheet: bool = False
    recent: tuple[str, ...] = ()
    """Paths of boats, the last one first."""
    geometry: str = ""
    layout: str = ""
    """The window's own record of its place and its docks, base 64."""


def settings_path() -> Path:
    """Where they are kept for this user."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericConfigLocation)
    return Path(folder) / "loomwright" / "settings.json"


def read_settings(path: Path) -> Settings:
    """What was remembered; the usual where nothing was or it cannot be read."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=Settings)
    except (OSError, msgspec.DecodeError):
        return Settings()


def write_settings(path: Path, settings: Settings) -> None:
    """Remember. A folder that cannot be written is no reason to disturb anyone."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(msgspec.json.format(msgspec.json.encode(settings), indent=1))
    except OSError:
        return


def with_recent(settings: Settings, path: str) -> Settings:
    """The path in front of the recent ones."""
    others = (one for one in settings.recent if one != path)
    return msgspec.structs.replace(settings, recent=(path, *others)[:MOST_RECENT])
