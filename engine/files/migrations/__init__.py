"""Older files brought up to this version, step by step. One module a step, vNNN_to_vNNN.py, never changed once released.

A step takes the plain tree of one version and returns that of the next; it must not use the records, which move on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from engine.files.errors import OpenError
from engine.messages import tr
from engine.model.document import FORMAT_VERSION

Tree = dict[str, Any]
Step = Callable[[Tree], Tree]

STEPS: Mapping[int, Step] = {}
"""The step that leads on from each version; version 1 is the first."""


def migrate(tree: Tree, version: int, steps: Mapping[int, Step] = STEPS, target: int = FORMAT_VERSION) -> Tree:
    """The tree at `target`. Raises OpenError where a step is missing or the file is not what its version says."""
    for before in range(version, target):
        if before not in steps:
            raise OpenError("no-migration", tr("files of version {its} cannot be read").format(its=before))
        try:
            tree = steps[before](tree)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
            what = tr("the file says it is version {its} but is not ({reason})")
            raise OpenError("no-migration", what.format(its=before, reason=error)) from error
        tree = {**tree, "loomwright": before + 1}
    return tree
