"""Boats to be put on paper: the two samples, and small ones from sketches."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec

from engine.drawing.layout import lay_out
from engine.files.opening import open_boat
from engine.library.device import Library, load_library
from engine.library.symbol import Symbol, load_symbols
from engine.model.document import Document
from engine.papers.catalogue import subject_of
from engine.papers.subject import Subject
from engine.pipeline import analyse
from engine.sketch import read_sketch

SAMPLES = Path(__file__).parent.parent.parent / "sample_boats"
SAMPLE_NAMES = ("quill_34", "quill_26_launch", "marguerite_as_built")
SIZES = ("A4", "A3", "letter", "tabloid")


@cache
def library() -> Library:
    """The program's devices."""
    return load_library()


@cache
def symbols() -> dict[str, Symbol]:
    """The program's symbols."""
    return dict(load_symbols())


@cache
def sample(name: str, paper: str = "A4") -> Subject:
    """A sample boat, checked once for all paper sizes."""
    if paper != "A4":
        return msgspec.structs.replace(sample(name), paper=paper)
    return _subject(open_boat(SAMPLES / f"{name}.boat", library()), paper)


@cache
def sketched(text: str, paper: str = "A4") -> Subject:
    """A boat from a sketch, laid out."""
    return _subject(lay_out(read_sketch(text, library()), library(), symbols()), paper)


def _subject(document: Document, paper: str) -> Subject:
    return subject_of(document, analyse(document.network, library()), library(), symbols(), paper)


SMALL = """
boat "Small" yard="Quillan Bay" rules=us,iso fuel=diesel engine=inboard units=us drawing_number=QB-1 revision=B date=2026-05-04
space saloon "Saloon" kind=dry
space engine "Engine space" kind=engine
G1 battery "House" nominal_v=12 capacity_ah=100 cca_a=800 @engine
G2 battery "Start" nominal_v=12 capacity_ah=80 cca_a=600 @engine
F1 fuse_post 100 A
F2 fuse_bolt 40 A "Always on"
Q1 battery_selector "Selector" @saloon
W1 bus_negative "Negative bus" studs=8
A1 dc_panel "DC panel" bus_a=60 @saloon
  1 fuse 10/20 A "Cabin lights"
  2 fuse 15/20 A "Water pump" may-stay-on
  3 fuse ?/20 A spare
  4 fuse ?/20 A spare
  5 fuse 5/20 A prepared "Helm"
  6 blank
  7 fuse 10/20 A "Mystery"
E1 lamp "Cabin lights" running_a=3 @saloon
M1 pump "Fresh water" running_a=7 @engine
E2 load_dc "To be identified"
B1 bilge_pump "Bilge pump" running_a=5 @engine
M9 engine_starter "Starter" cranking_a=240
1: G1.pos - F1.a + 2 AWG RD 0.1 m sheath 105 C tinned bundled=1
2: F1.b - Q1.b1 + 2 AWG RD 1 m sheath 105 C tinned bundled=1 via=saloon
3: G2.pos - Q1.b2 + 2/0 AWG RD 1 m cranking 105 C
4: Q1.common - A1.feed + 4 AWG RD 2 m 105 C bundled=1 via=saloon
5: Q1.common - M9.pos + 2/0 AWG RD 2 m cranking 105 C
6: W1.s1 - A1.neg - 4 AWG YE 2 m 105 C
7: G1.neg - W1.s2 - 2 AWG YE 1 m 105 C
8: G2.neg - W1.s3 - 2/0 AWG YE 1 m 105 C
9: F1.b - F2.a + 8 AWG RD 0.1 m 105 C
10: F2.b - B1.supply + 10 AWG RD 3 m 105 C bundled=1 via=engine
11: W1.s4 - B1.neg - 10 AWG YE 3 m 105 C
12: W1.s5 - M9.case - 2/0 AWG YE 2 m 105 C
101: A1.1 - E1.supply +- 14 AWG RD,YE 4 m sheath 105 C bundled=2 via=saloon
102: A1.2 - M1.supply +- 12 AWG RD,YE 3..5 m sheath 105 C bundled=2 via=engine
105: A1.5 - ~1.s1 +- 14 AWG RD,YE 4 m sheath 105 C bundled=2 via=saloon
107: A1.7 - E2.supply +-
~1 terminal_block "Helm block"
"""
"""Two batteries, a selector, a pump fed past it, a panel with every sort of way, a wire nobody knows."""
