"""The texts a person reads, in the language asked for. Knows no boat, no rule, no window.

Texts stand in the code in English and are looked up through gettext; a catalogue lies in engine/data/locale.
"""

from __future__ import annotations

import gettext
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

DOMAIN = "loomwright"


@lru_cache(maxsize=1)
def _catalogue() -> gettext.NullTranslations:
    folder = Path(__file__).parent / "data" / "locale"
    if not folder.is_dir():  # looking for one there loads the table of all locales
        return gettext.NullTranslations()
    return gettext.translation(DOMAIN, localedir=str(folder), fallback=True)


def tr(text: str) -> str:
    """The text in the language of the environment; the text itself where there is no translation."""
    return _catalogue().gettext(text)


def counted(one: str, several: str, count: int) -> str:
    """The text for this many, with {count} filled in: `one` where it is a single one."""
    return _catalogue().ngettext(one, several, count).replace("{count}", str(count))


def enumerated(words: Iterable[str]) -> str:
    """ "a, b"; "a, x; b" where one of them has a comma of its own, so that what belongs together can be told."""
    told = list(words)
    return ("; " if any("," in word for word in told) else ", ").join(told)
