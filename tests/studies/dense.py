"""An independent solver: a full matrix, Newton's method on real and imaginary parts, no code shared with the engine."""

from __future__ import annotations

from typing import Any

import numpy as np

Array = np.ndarray[Any, Any]


def dense_volts(circuit: Any) -> Array:
    """The operating point of a circuit without valves, volts of every row."""
    n = circuit.size
    full = np.zeros((n + 1, n + 1), complex)
    push = np.zeros(n + 1, complex)
    for a, b, y in zip(circuit.branches.a, circuit.branches.b, circuit.branches.y_s, strict=True):
        _stamp(full, a, b, y)
    feeds = circuit.feeds
    for a, b, y, emf in zip(feeds.a, feeds.b, feeds.y_s, feeds.emf_v, strict=True):
        _stamp(full, a, b, y)
        push[b] += y * emf
        push[a] -= y * emf
    g, push = full[:n, :n], push[:n]
    if not circuit.is_ac:
        return _real(circuit, g.real, push.real, np.linalg.solve(g.real, push.real))
    return _newton(circuit, g, push, np.linalg.solve(g, push))


def _real(circuit: Any, g: Array, push: Array, volts: Array) -> Array:
    loads = circuit.loads
    for _ in range(50):
        jacobian, miss = g.copy(), g @ volts - push
        wide = np.append(volts, 0.0)
        for a, b, i, p in zip(loads.a, loads.b, loads.current_a, loads.power_w, strict=True):
            over = wide[a] - wide[b]
            for row, out in ((a, 1), (b, -1)):
                if row >= 0:
                    miss[row] += out * (i + p / over)
                    for at, into in ((a, 1), (b, -1)):
                        if at >= 0:
                            jacobian[row, at] -= out * into * p / over**2
        step = np.linalg.solve(jacobian, miss)
        volts = volts - step
        if np.abs(step).max() < 1e-12 * np.abs(volts).max():
            return volts
    raise ArithmeticError("the dense solver did not come to rest")


def _stamp(full: Array, a: int, b: int, y: complex) -> None:
    full[a, a] += y
    full[b, b] += y
    full[a, b] -= y
    full[b, a] -= y


def _newton(circuit: Any, g: Array, push: Array, volts: Array) -> Array:
    n = len(volts)
    real = np.block([[g.real, -g.imag], [g.imag, g.real]])
    for _ in range(50):
        jacobian, miss = real.copy(), g @ volts - push
        wide = np.append(volts, 0.0)
        for a, b, i, s in zip(
            circuit.loads.a, circuit.loads.b, circuit.loads.current_a, circuit.loads.power_w, strict=True
        ):
            over = wide[a] - wide[b]
            for row, sign in ((a, 1), (b, -1)):
                if row >= 0:
                    miss[row] += sign * _drawn(over, i, s)
            _slopes(jacobian, n, a, b, over, i, s)
        step = np.linalg.solve(jacobian, np.concatenate((miss.real, miss.imag)))
        volts = volts - (step[:n] + 1j * step[n:])
        if np.abs(step).max() < 1e-12 * np.abs(volts).max():
            return volts
    raise ArithmeticError("the dense solver did not come to rest")


def _drawn(over: complex, i: complex, s: complex) -> complex:
    return i * over / abs(over) + np.conj(s / over)


def _slopes(jacobian: Array, n: int, a: int, b: int, over: complex, i: complex, s: complex) -> None:
    """How the current moves with the real and the imaginary part of the voltage, by differences of the formula itself."""
    size = abs(over)
    toward_re = i * (1 / size - over * over.real / size**3) - np.conj(s / over**2)
    toward_im = i * (1j / size - over * over.imag / size**3) + 1j * np.conj(s / over**2)
    for column, slope in ((0, toward_re), (n, toward_im)):
        for row, out in ((a, 1), (b, -1)):
            for at, into in ((a, 1), (b, -1)):
                if row >= 0 and at >= 0:
                    jacobian[row, column + at] += out * into * slope.real
                    jacobian[n + row, column + at] += out * into * slope.imag
