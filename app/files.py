"""The boat's file as the window handles it: open, save, recent ones, and the lock that warns of others.

Asks for names with the system's own file dialogs; says everything else in the lines above the sheet, never in a box. How
a file is written is engine/files; work in hand is kept by app/keeping.py.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog

from app.keeping import Keeper
from app.settings import with_recent
from app.start_card import StartCard
from app.store import Store
from app.window import Window
from engine.files import lock
from engine.files.errors import OpenError, SaveError
from engine.files.opening import SKETCH_SUFFIXES, open_boat
from engine.files.recovery import Recovery, discard, find_recoveries, read_recovery
from engine.files.save import save_boat
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document

SUFFIX = ".boat"
Stamp = tuple[int, int]
"""When a file was last written, ns, and its size, bytes."""


class Files(QObject):
    """One window's file."""

    def __init__(
        self, window: Window, store: Store, library: Library, symbols: Mapping[str, Symbol], recovery: Path
    ) -> None:
        super().__init__(window)
        self.window, self.store, self.recovery = window, store, recovery
        self.library, self.symbols = library, symbols
        self.path: Path | None = None
        self.keeper = Keeper(store, recovery, self)
        self.keeper.failed.connect(window.notes.say)
        self._stamp: Stamp | None = None
        window.closing.connect(self.end)
        window.menus.recent.aboutToShow.connect(self._fill_recent)

    def begin(self, path: str | None) -> None:
        """Start: with a boat, or with how to begin; and offer what was left behind by a crash."""
        self.store.load(Document())
        if path is None or not self.open(Path(path)):
            self._show_card()
        left = find_recoveries(self.recovery)
        if left:
            self._offer_recovery(left[0])

    def _show_card(self) -> None:
        card = StartCard(self.window.settings.recent, self.window.desk)
        card.begun.connect(partial(self.window.show_card, None))
        card.asked.connect(self.ask_and_open)
        card.opened.connect(lambda name: self.open(Path(name)))
        self.window.show_card(card)

    def new(self) -> None:
        """An empty drawing."""
        self._when_saved(lambda: self._take(Document(), None))

    def ask_and_open(self) -> None:
        """A boat from a file that one picks."""
        self._when_saved(self._ask_and_open)

    def _ask_and_open(self) -> None:
        kinds = tr("Boats and sketches (*.boat *.txt)")
        name, _ = QFileDialog.getOpenFileName(self.window, tr("Open a boat"), self._folder(), kinds)
        if name:
            self.open(Path(name))

    def open(self, path: Path) -> bool:
        """The boat in this file, in place of what is in the window. False where it cannot be read; the bar says why."""
        try:
            document = self._laid_out(open_boat(path, self.library))
        except OpenError as error:
            self.window.notes.say(tr("{name} was not opened. {why}").format(name=path.name, why=error))
            return False
        self._take(document, path)
        self._warn_of_others()
        return True

    def _laid_out(self, document: Document) -> Document:
        """A sketch says what is aboard and not how it is drawn: its first drawing is made here."""
        if any(sheet.places for sheet in document.sheets) or not document.network.parts:
            return document
        from engine.drawing.layout import lay_out

        return lay_out(document, self.library, self.symbols)

    def _take(self, document: Document, path: Path | None) -> None:
        self._let_go()
        self.path = path
        self._stamp = _stamp(path)
        self.keeper.original = path
        self.keeper.start_anew()
        self.store.load(document)
        self.window.show_card(None)
        if path is not None:
            self._remember(path)

    def _remember(self, path: Path) -> None:
        self.window.remember(with_recent(self.window.settings, str(path.absolute())))

    def _warn_of_others(self) -> None:
        other = lock.take(self.path) if self.path else None
        if other is not None:
            told = tr("{who} on {host} has had this boat open since {since}. Save under another name, or wait.")
            self.window.notes.say(told.format(who=other.who or tr("Someone"), host=other.host, since=other.since))

    def save(self) -> None:
        """To its file; a boat without one, or from a sketch, asks for a name."""
        if self.path is None or self.path.suffix.lower() in SKETCH_SUFFIXES:
            self.save_as()
        elif _stamp(self.path) != self._stamp:
            self._ask_over(tr("{name} was changed by someone else since it was opened."))
        elif (other := lock.holder(self.path)) is not None:
            self._ask_over(tr("{who} on {host} has {{name}} open too.").format(who=other.who, host=other.host))
        else:
            self.save_to(self.path)

    def _ask_over(self, why: str) -> None:
        path = self.path
        if path is not None:
            offers = ((tr("Save over it"), partial(self.save_to, path)), (tr("Save as …"), self.save_as))
            self.window.offers.offer(why.format(name=path.name), offers)

    def save_as(self) -> None:
        """To another file, from now on its own."""
        wanted = str(Path(self._folder()) / _name_for(self.store.document))
        name, _ = QFileDialog.getSaveFileName(self.window, tr("Save the boat"), wanted, tr("Boats (*.boat)"))
        if name:
            self.save_to(Path(name) if Path(name).suffix else Path(name).with_suffix(SUFFIX))

    def save_to(self, path: Path) -> bool:
        """To this file. False where it cannot be written; the bar says why, and the work is kept all the same."""
        try:
            save_boat(self.store.document, path)
        except SaveError as error:
            self.window.notes.say(str(error))
            self.keeper.keep()
            return False
        if path != self.path:
            self._let_go()
        self.path, self._stamp = path, _stamp(path)
        lock.take(path)
        self.keeper.original = path
        self.store.mark_clean()
        self.keeper.forget()
        self._remember(path)
        return True

    def _folder(self) -> str:
        recent = self.window.settings.recent
        return str(self.path.parent if self.path else Path(recent[0]).parent if recent else Path.home())

    def _when_saved(self, act: Callable[[], object]) -> None:
        """Do it at once where nothing is unsaved; else ask in the line above the sheet."""
        if self.store.clean:
            act()
            return

        def save_first() -> None:
            self.save()
            if self.store.clean:
                act()

        name = self.store.document.network.particulars.name
        offers = ((tr("Save first"), save_first), (tr("Leave it unsaved"), act), (tr("Stay"), lambda: None))
        self.window.offers.offer(tr("{boat} is not saved.").format(boat=name), offers)

    def _offer_recovery(self, left: Recovery) -> None:
        told = tr("The program ended before “{boat}” was saved. The work was kept as it was at {when}.")
        offers = (
            (tr("Bring it back"), partial(self.bring_back, left)),
            (tr("Throw it away"), partial(discard, left.session, self.recovery)),
            (tr("Later"), lambda: None),
        )
        when = left.written.replace("T", " ").replace("Z", " UTC")
        self.window.offers.offer(told.format(boat=left.boat, when=when), offers)

    def bring_back(self, left: Recovery) -> bool:
        """The kept work in the window, unsaved; it stays kept until it is saved."""
        try:
            document = read_recovery(left)
        except OpenError as error:
            self.window.notes.say(str(error))
            return False
        self._take(document, left.original)
        self.keeper.session = left.session
        self.store.mark_unsaved()
        return True

    def _fill_recent(self) -> None:
        menu = self.window.menus.recent
        menu.clear()
        for at, name in enumerate(self.window.settings.recent, 1):
            action = menu.addAction(f"&{at}  {Path(name).stem}   {Path(name).parent}")
            action.triggered.connect(lambda _on=False, path=name: self._when_saved(lambda: self.open(Path(path))))
        if menu.isEmpty():
            menu.addAction(tr("None yet")).setEnabled(False)

    def _let_go(self) -> None:
        if self.path is not None:
            lock.release(self.path)

    def end(self) -> None:
        """The window closes: unsaved work is kept and offered at the next start."""
        self.keeper.end()
        self._let_go()


def _stamp(path: Path | None) -> Stamp | None:
    try:
        found = path.stat() if path else None
    except OSError:
        return None
    return (found.st_mtime_ns, found.st_size) if found else None


def _name_for(document: Document) -> str:
    """A file name out of the boat's name."""
    words = "".join(letter if letter.isalnum() else " " for letter in document.network.particulars.name)
    return "_".join(words.casefold().split()) + SUFFIX
