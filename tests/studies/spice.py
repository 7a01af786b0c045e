"""Circuits as netlists for ngspice, and its answers; recorded answers where it is not installed.

    python -m tests.studies.spice        # writes the recorded netlists and answers again

An AC circuit becomes two DC circuits, real and imaginary part, coupled by controlled sources, so that loads of constant
power and constant current are exact in it too.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from engine.studies.solver import Factors

RECORDED = Path(__file__).parent / "spice"
OPTIONS = ".options reltol=1e-10 abstol=1e-13 vntol=1e-11 gmin=1e-18 itl1=2000 rshunt=1e15"
LEAK_S = 1e-9
LONGEST_S = 900
"""It tries for a minute before it gives up a network without a solution, and longer on a busy machine."""

Array = np.ndarray[Any, Any]


def installed() -> bool:
    """Whether ngspice can be run here."""
    return shutil.which("ngspice") is not None


def netlist(circuit: Any, title: str = "network", modes: Sequence[int] | None = None) -> str:
    """The circuit as a netlist that prints every node voltage of its operating point. `modes`: how each valve stands (0
    shut, 1 open, 2 at its limit), where ngspice is not to find it out itself."""
    lines = [title, OPTIONS, *(_ac(circuit) if circuit.is_ac else _dc(circuit, modes)), *_start(circuit)]
    return "\n".join([*lines, ".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end", ""])


def _start(circuit: Any) -> Iterator[str]:
    """Start from the voltages without load: a load of constant power has two solutions, and ngspice may end in the lower."""
    volts = Factors(circuit, (1,) * len(circuit.valves.a)).unloaded()
    for row in range(circuit.size):
        if circuit.is_ac:
            yield f".nodeset v(r{row})={volts[row].real:.6g} v(i{row})={volts[row].imag:.6g}"
        else:
            yield f".nodeset v(n{row})={volts[row]:.6g}"


def _at(row: int, part: str = "n") -> str:
    return f"{part}{row}" if row >= 0 else "0"


def _dc(circuit: Any, modes: Sequence[int] | None) -> Iterator[str]:
    branches, feeds, loads, valves = circuit.branches, circuit.feeds, circuit.loads, circuit.valves
    for k, (a, b, y) in enumerate(zip(branches.a, branches.b, branches.y_s, strict=True)):
        yield f"R{k} {_at(a)} {_at(b)} {1 / float(y)!r}"
    for k, (a, b, y, emf) in enumerate(zip(feeds.a, feeds.b, feeds.y_s, feeds.emf_v, strict=True)):
        yield f"V{k} x{k} {_at(a)} {float(emf)!r}"
        yield f"RV{k} x{k} {_at(b)} {1 / float(y)!r}"
    for k, (a, b, i, p) in enumerate(zip(loads.a, loads.b, loads.current_a, loads.power_w, strict=True)):
        if i:
            yield f"I{k} {_at(a)} {_at(b)} {float(i)!r}"
        if p:
            yield f"BP{k} {_at(a)} {_at(b)} I={float(p)!r}/(V({_at(a)})-V({_at(b)}))"
    columns = zip(valves.a, valves.b, valves.y_s, valves.emf_v, valves.limit_a, strict=True)
    for k, (a, b, y, emf, limit) in enumerate(columns):
        yield from _valve(k, _at(a), _at(b), (float(y), float(emf), float(limit)), None if modes is None else modes[k])


def _valve(k: int, a: str, b: str, values: tuple[float, float, float], mode: int | None) -> Iterator[str]:
    y, emf, limit = values
    if mode is None:
        free = f"{y!r}*({emf!r}-V({b})+V({a}))"
        held = f"max({free},0)" if np.isinf(limit) else f"min(max({free},0),{limit!r})"
        yield f"BV{k} {a} {b} I={held}"
    elif mode == 1 and emf == 0:
        yield f"RW{k} {a} {b} {1 / y!r}"
    elif mode == 1:
        yield f"VV{k} w{k} {a} {emf!r}"
        yield f"RW{k} w{k} {b} {1 / y!r}"
    else:
        yield f"RL{k} {a} {b} {1 / LEAK_S!r}"
        if mode == 2:
            yield f"IV{k} {a} {b} {limit!r}"


def _ac(circuit: Any) -> Iterator[str]:
    branches, feeds, loads = circuit.branches, circuit.feeds, circuit.loads
    for k, (a, b, y) in enumerate(zip(branches.a, branches.b, branches.y_s, strict=True)):
        yield from _admittance(f"Y{k}", a, b, y, 0j)
    for k, (a, b, y, emf) in enumerate(zip(feeds.a, feeds.b, feeds.y_s, feeds.emf_v, strict=True)):
        yield from _admittance(f"F{k}", b, a, y, y * emf)
    for k, (a, b, i, s) in enumerate(zip(loads.a, loads.b, loads.current_a, loads.power_w, strict=True)):
        re_, im_ = (f"(V({_at(a, part)})-V({_at(b, part)}))" for part in "ri")
        size2 = f"({re_}*{re_}+{im_}*{im_})"
        i, s = complex(i), complex(s)
        if i:
            yield f"BI{k} {_at(a, 'r')} {_at(b, 'r')} I=({i.real!r}*{re_}-({i.imag!r})*{im_})/sqrt({size2})"
            yield f"BJ{k} {_at(a, 'i')} {_at(b, 'i')} I=({i.real!r}*{im_}+({i.imag!r})*{re_})/sqrt({size2})"
        if s:
            yield f"BP{k} {_at(a, 'r')} {_at(b, 'r')} I=({s.real!r}*{re_}+({s.imag!r})*{im_})/{size2}"
            yield f"BQ{k} {_at(a, 'i')} {_at(b, 'i')} I=({s.real!r}*{im_}-({s.imag!r})*{re_})/{size2}"


def _admittance(name: str, a: int, b: int, y: complex, push: complex) -> Iterator[str]:
    """An admittance from a to b in both parts, and a current pushed into a."""
    y, push = complex(y), complex(push)
    for part in "ri":
        yield f"R{name}{part} {_at(a, part)} {_at(b, part)} {1 / y.real!r}"
    if y.imag:
        yield f"G{name}r {_at(a, 'r')} {_at(b, 'r')} {_at(a, 'i')} {_at(b, 'i')} {-y.imag!r}"
        yield f"G{name}i {_at(a, 'i')} {_at(b, 'i')} {_at(a, 'r')} {_at(b, 'r')} {y.imag!r}"
    if push:
        yield f"I{name}r {_at(b, 'r')} {_at(a, 'r')} {push.real!r}"
        yield f"I{name}i {_at(b, 'i')} {_at(a, 'i')} {push.imag!r}"


_LINE = re.compile(r"^([nri]\d+) = ([-+0-9.eE]+)$", re.MULTILINE)


def run(text: str) -> dict[str, float]:
    """Node voltages as ngspice finds them. Raises RuntimeError with its words where it does not."""
    got = subprocess.run(["ngspice", "-b"], input=text, capture_output=True, text=True, timeout=LONGEST_S, check=False)
    found = {name: float(value) for name, value in _LINE.findall(got.stdout.replace("v(", "").replace(")", ""))}
    if not found:
        raise RuntimeError(got.stdout[-500:] + got.stderr[-500:])
    return found


def volts_of(circuit: Any, answers: dict[str, float]) -> Array:
    """The answers in the order of the rows."""
    if circuit.is_ac:
        return np.array([complex(answers[f"r{k}"], answers[f"i{k}"]) for k in range(circuit.size)])
    return np.array([answers[f"n{k}"] for k in range(circuit.size)])


def recorded_cases() -> dict[str, Any]:
    """The circuits whose netlists and answers are kept, by name."""
    from tests.studies.random_networks import two_rails

    small = [k for k in range(400) if two_rails(k).size < 90][:3]
    small_ac = [k for k in range(400) if two_rails(k, ac=True).size < 60][:2]
    return {
        **{f"dc_{k}": two_rails(k) for k in small},
        **{f"ac_{k}": two_rails(k, ac=True) for k in small_ac},
    }


def recorded(name: str) -> tuple[str, dict[str, float]]:
    """A kept netlist and its kept answers."""
    lines = (RECORDED / f"{name}.txt").read_text(encoding="utf-8").split()
    return (RECORDED / f"{name}.cir").read_text(encoding="utf-8"), {
        node: float(value) for node, value in zip(lines[::2], lines[1::2], strict=True)
    }


def main() -> None:
    """Write the kept netlists and answers again."""
    RECORDED.mkdir(exist_ok=True)
    for name, circuit in recorded_cases().items():
        text = netlist(circuit, name)
        (RECORDED / f"{name}.cir").write_text(text, encoding="utf-8")
        rows = [f"{node} {value!r}" for node, value in sorted(run(text).items())]
        (RECORDED / f"{name}.txt").write_text("\n".join(rows) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
