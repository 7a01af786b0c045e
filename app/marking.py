"""From findings to what is drawn over the sheet: a mark at each thing, the way of the picked one. Knows no widget."""

from __future__ import annotations

from app.panels.finding_list import ShownFinding
from engine.drawing.annotate import Annotation, Mark


def annotation(findings: tuple[ShownFinding, ...], picked: ShownFinding | None) -> Annotation:
    """A mark at the first thing of each finding (the gravest where there are several), and the way of the picked one."""
    marks: dict[str, Mark] = {}
    for one in findings:
        if one.finding.outcome.subjects:
            key = one.finding.outcome.subjects[0]
            marks.setdefault(key, Mark(key, one.severity, one.number))
    if picked and picked.finding.outcome.subjects:
        key = picked.finding.outcome.subjects[0]
        marks[key] = Mark(key, picked.severity, picked.number)
    return Annotation(marks=tuple(marks.values()), paths=(picked.keys,) if picked else ())
