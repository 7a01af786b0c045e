"""Why a boat cannot be opened or saved, in words for the person who wanted to: what, where, what to do."""

from __future__ import annotations

from engine.messages import tr

REPAIR = "Open the previous version beside it (the name ends in ~), or mend the place with a text editor."


class OpenError(Exception):
    """A file that cannot be read as a boat. `code` names the kind of trouble, `where` the place in the file."""

    def __init__(self, code: str, what: str, where: str = "", remedy: str = "") -> None:
        self.code, self.what, self.where, self.remedy = code, what, where, remedy or tr(REPAIR)
        place = f"{where}: " if where else ""
        super().__init__(f"{place}{what}. {self.remedy}")


class SaveError(Exception):
    """A boat that could not be saved; the file that was there is untouched."""

    def __init__(self, code: str, what: str, remedy: str) -> None:
        self.code, self.what, self.remedy = code, what, remedy
        super().__init__(f"{what}. {remedy}")
