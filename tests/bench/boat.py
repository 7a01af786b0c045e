"""The boat that the speed goals speak of: 500 runs, 12 switches, six banks, seventeen panels of 24 ways."""

from __future__ import annotations

from engine.library.device import Library
from engine.model.document import Document
from engine.sketch import read_sketch

BANKS, PANELS, WAYS = 6, 17, 24


def big_boat(library: Library) -> Document:
    """The boat, as a document whose parts stand on no sheet."""
    parts = ['boat "Bench" rules=us fuel=diesel engine=inboard', 'space s "Saloon" kind=dry petrol_vapour=no']
    parts += ['W0 bus_negative "Negative" studs=40 rating_a=600']
    runs: list[str] = []
    for bank in range(1, BANKS + 1):
        parts += _bank(bank, runs)
    for panel in range(1, PANELS + 1):
        parts += _panel(panel, runs)
    return read_sketch("\n".join([*parts, *runs]), library, "bench")


def _run(runs: list[str], ends: str, poles: str, size: str, colours: str, length_m: float) -> None:
    build = f"{size} {colours} {length_m} m sheath 105 C tinned via=s"
    runs.append(f"{len(runs) + 1}: {ends} {poles} {build}")


def _bank(n: int, runs: list[str]) -> list[str]:
    _run(runs, f"G{n}.pos - F{n}.a", "+", "3/0 AWG", "RD", 0.1)
    _run(runs, f"F{n}.b - Q{n}.in", "+", "3/0 AWG", "RD", 1)
    _run(runs, f"Q{n}.out - X{n}.s1", "+", "3/0 AWG", "RD", 1)
    _run(runs, f"G{n}.neg - W0.s{n}", "-", "3/0 AWG", "YE", 1)
    return [
        f'G{n} battery "Bank {n}" nominal_v=12 capacity_ah=100 cca_a=700 battery_number={n} post_guards=yes',
        f"F{n} fuse_bolt 200/200 A interrupting_a=5000 voltage_v=32",
        f"Q{n} battery_switch rating_a=300",
        f"X{n} bus_positive studs=12 rating_a=300",
    ]


def _panel(n: int, runs: list[str]) -> list[str]:
    bank, stud = (n - 1) % BANKS + 1, 2 + (n - 1) // BANKS
    switch, ports = ("switch", ("a", "b")) if n <= BANKS else ("", ("", ""))
    _run(runs, f"X{bank}.s{stud} - F{50 + n}.a", "+", "2 AWG", "RD", 0.1)
    if switch:
        _run(runs, f"F{50 + n}.b - Q{20 + n}.{ports[0]}", "+", "2 AWG", "RD", 0.3)
    feed = f"Q{20 + n}.{ports[1]}" if switch else f"F{50 + n}.b"
    _run(runs, f"{feed} - A{n}.feed", "+", "2 AWG", "RD", 3)
    _run(runs, f"A{n}.neg - W0.s{BANKS + n}", "-", "2 AWG", "YE", 3)
    ways = [f'  {way} fuse 10/20 A "Circuit {n}.{way}" interrupting_a=3000' for way in range(1, WAYS + 1)]
    loads = []
    for way in range(1, WAYS + 1):
        loads.append(f"E{n * 100 + way} lamp running_a=2 nominal_v=12")
        _run(runs, f"A{n}.{way} - E{n * 100 + way}.supply", "+-", "12 AWG", "RD,YE", 4)
    fuse = f"F{50 + n} fuse_bolt 80/80 A interrupting_a=5000 voltage_v=32"
    return [
        f'A{n} dc_panel "Panel {n}" bus_a=100',
        *ways,
        fuse,
        *([f"Q{20 + n} {switch} rating_a=100"] if switch else []),
        *loads,
    ]
