"""What a study answers: volts, amps, losses, loading, islands, and why something has no answer. Plain records."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from engine.graph.poles import Node
from engine.model.network import Part
from engine.studies.conditions import Case
from engine.studies.draws import Draw
from engine.studies.island import Island, Layout
from engine.studies.values import Corner, Figure

NO_NODE: Node = ("", "", "")
LoadState = Literal["fed", "at-rest", "dead", "source-unknown", "no-return", "collapsed", "not-known"]


Mode = Literal["", "holds its voltage", "at its current limit", "passes nothing"]


class Flow(msgspec.Struct, frozen=True):
    """The current through a conductor. `current_a` is from its end a to its end b, in AC the magnitude."""

    key: str
    pole: str
    a: Node
    b: Node
    current_a: float
    drop_v: float
    loss_w: float
    ohm: Figure


class LoadAnswer(msgspec.Struct, frozen=True):
    """What a load has: volts at its terminals, the current it draws, the drop from the terminals of its source.

    `state` says why there are no volts; `source_v` the voltage at the source's terminals, `emf_v` without any load.
    """

    part: Part
    a: Node
    b: Node
    state: LoadState
    volts_v: float = 0.0
    current_a: float = 0.0
    power_w: float = 0.0
    source: str = ""
    source_v: float = 0.0
    emf_v: float = 0.0
    nominal_v: float = 0.0
    draw: Draw | None = None

    @property
    def drop_v(self) -> float:
        """From the terminals of the source to those of the load, out and back, V."""
        return self.source_v - self.volts_v if self.state == "fed" else 0.0

    @property
    def drop_percent(self) -> float:
        """The drop in per cent of the nominal voltage."""
        return 100 * self.drop_v / self.nominal_v if self.nominal_v else 0.0


class SupplyAnswer(msgspec.Struct, frozen=True):
    """What a source gives: `current_a` negative where it is charged; `mode` for a source that limits itself."""

    part: Part
    a: Node
    b: Node
    current_a: float
    volts_v: float
    power_w: float
    loss_w: float
    emf: Figure
    ohm: Figure
    mode: Mode = ""
    limit_a: Figure | None = None


class TransferAnswer(msgspec.Struct, frozen=True):
    """What a converter takes and gives, W."""

    part: Part
    taken_w: float
    given_w: float
    efficiency: Figure


class Gap(msgspec.Struct, frozen=True):
    """Something that has no answer, or only a bound: a code, one plain sentence, the fields that would settle it."""

    code: Literal[
        "missing", "no-source", "collapsed", "unsettled", "overloaded", "below-lowest-input", "source-unknown"
    ]
    text: str
    subjects: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()


class Solution(msgspec.Struct, frozen=True):
    """A case solved at one corner of what is not known. Currents and voltages of what is not live are absent.

    `volts`: each pole against the reference of its island (complex; for DC its real part). `gaps`: what could not be
    solved and what is only at best as shown.
    """

    case: Case
    corner: Corner
    volts: Mapping[Node, complex]
    flows: Mapping[tuple[str, str], Flow]
    """By (key, pole), key as "run:w1", "part:p3", "position:p4/2"."""
    loads: Mapping[str, LoadAnswer]
    """By part id; of a part with several load links the first."""
    supplies: Mapping[str, tuple[SupplyAnswer, ...]]
    transfers: tuple[TransferAnswer, ...]
    islands: tuple[Island, ...]
    layout: Layout
    gaps: tuple[Gap, ...]
    home: Mapping[int, Node]
    """Rail number -> the return pole of the source of that rail."""
    steps: int = 0
    residual_a: float = 0.0
    """The largest current that Kirchhoff's law is missed by at any point."""

    def volts_at(self, node: Node) -> float | None:
        """Voltage of a pole against the return of its source, V (AC: RMS); None where it is not live."""
        if node not in self.volts:
            return None
        over = self.volts[node] - self.volts.get(self.home.get(self.layout.rail[node], NO_NODE), 0.0)
        return over.real if not self.islands[self.layout.island[node]].ac else abs(over)

    def between(self, a: Node, b: Node) -> float | None:
        """Voltage between two poles of one island, V (AC: RMS); None where either is not live."""
        if not self.layout.is_live(a, b):
            return None
        over = self.volts[a] - self.volts[b]
        return over.real if not self.islands[self.layout.island[a]].ac else abs(over)

    def lacks_at(self, node: Node) -> tuple[str, ...]:
        """The fields without which values in the pole's island are at best what is shown."""
        here = self.layout.island.get(node)
        return tuple(
            field for gap in self.gaps if gap.code == "missing" for field in gap.lacks if here == self._number(gap)
        )

    def _number(self, gap: Gap) -> int:
        return int(gap.subjects[0].removeprefix("island:")) if gap.subjects else -1
