"""A fault: the boat with one thing made wrong, what was touched, and the rules of which one must find it."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from engine.model.network import End, Network, Part, Position, Run


class Fault(msgspec.Struct, frozen=True):
    """One sabotaged boat. `keys` are what was touched ("run:w3"); a finding of one of the rules must be about them."""

    name: str
    network: Network
    keys: frozenset[str]
    rules: frozenset[str]
    near: frozenset[str] = frozenset()
    """What else may be found because of it, beyond what lies around the keys."""
    field: str = ""
    """Where a field was blanked: the name that the finding must ask for."""


def with_part(network: Network, part: Part) -> Network:
    """The network with one part replaced."""
    return msgspec.structs.replace(network, parts=tuple(part if each.id == part.id else each for each in network.parts))


def with_run(network: Network, run: Run) -> Network:
    """The network with one run replaced."""
    return msgspec.structs.replace(network, runs=tuple(run if each.id == run.id else each for each in network.runs))


def without_run(network: Network, run: Run) -> Network:
    """The network without a run."""
    return msgspec.structs.replace(network, runs=tuple(each for each in network.runs if each.id != run.id))


def with_more(network: Network, *runs: Run) -> Network:
    """The network with runs added."""
    return msgspec.structs.replace(network, runs=(*network.runs, *runs))


def changed_run(network: Network, run: Run, **fields: object) -> Network:
    """The network with fields of one run changed."""
    return with_run(network, msgspec.structs.replace(run, **fields))


def changed_values(network: Network, part: Part, values: Mapping[str, object]) -> Network:
    """The network with values of one part changed."""
    return with_part(network, msgspec.structs.replace(part, values={**part.values, **values}))


def changed_position(network: Network, part: Part, position: Position, **fields: object) -> Network:
    """The network with fields of one way of a panel changed."""
    changed = msgspec.structs.replace(position, **fields)
    positions = tuple(changed if each.key == position.key else each for each in part.positions)
    return with_part(network, msgspec.structs.replace(part, positions=positions))


def jumper(network: Network, a: End, b: End, poles: tuple[str, ...], like: Run) -> tuple[Network, Run]:
    """The network with a cable more, of the build of another."""
    colours = {"+": "RD", "-": "YE", "L": "BK", "N": "WH", "PE": "GN"}
    run = msgspec.structs.replace(
        like, id="w9001", number="9001", a=a, b=b, poles=poles, colours=tuple(colours[pole] for pole in poles),
        length_m=0.3, cranking=False, pe_size="", evidence={},
    )  # fmt: skip
    return with_more(network, run), run
