"""The command `loomwright`: the engine's command line, with the editor behind a bare file name. Imports no Qt by itself."""

from __future__ import annotations

import sys

from engine import cli


def main() -> int:
    """Run the command line; exit status for the shell."""
    return cli.main(open_editor=_open_editor)


def _open_editor(path: str | None) -> int:
    try:
        from app.main import main as open_window
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith("PySide6"):
            raise
        print("The editor needs PySide6, which is not installed here; the commands work without it.", file=sys.stderr)
        return 2
    return open_window(path)


if __name__ == "__main__":
    sys.exit(main())
