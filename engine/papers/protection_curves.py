"""The protection curves on paper: for each sort of chain of fuses and breakers how soon they open over the range of the short
circuit, what the conductor stands, which opens first; and the devices for whose class no table has limits.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.drawing.curve_chart import curve_chart
from engine.drawing.display import Page
from engine.electrics.sources import Source
from engine.export.svg import page_to_svg
from engine.graph.boat import Boat
from engine.messages import tr
from engine.papers.figures import joined, natural_key
from engine.papers.page import head_of, set_pages, text_layout
from engine.papers.safety_words import DEFERRAL, said
from engine.papers.subject import Subject
from engine.papers.text_flow import SMALL_MM, Block, flow, gap, heading, listed, paragraph, subheading, warning
from engine.studies.curves import Chart, charts, without_limits
from engine.studies.protection import faults
from engine.studies.selectivity import first_to_open, guard_name, sentence

CHART_MM = 88.0
TEXT_MM = 2.2
INTRO = (
    "How soon each fuse or breaker opens, as the limits that its standard sets: it opens no sooner than the lower edge of its "
    "band and no later than the upper. Edges drawn in dashes are carried on beyond the standard's last point. A device is "
    "sure to open before the one behind it where its whole band lies below that of the other."
)


def protection_curves(subject: Subject) -> tuple[Page, ...]:
    """All pages: a chart for each sort of chain, then what no chart shows."""
    layout, boat = text_layout(subject.paper), subject.boat
    width = layout.column_mm
    blocks = [paragraph(tr(INTRO), width)]
    found = sorted(charts(boat), key=_order)
    for chart in found:
        blocks += _chart(boat, chart, width)
    if not found:
        blocks.append(
            paragraph(
                tr("No chart can be drawn: no table has limits for any fuse or breaker that a source reaches."), width
            )
        )
    blocks += [
        *_unknown(boat, width),
        *_sources(boat, found, width),
        gap(3.0),
        warning(tr("CAUTION"), said(DEFERRAL), width),
    ]
    return set_pages(flow(blocks, layout.body_mm), layout, head_of(subject.particulars, tr("Protection curves")))


def protection_svgs(subject: Subject) -> Iterator[tuple[str, str]]:
    """(file name without ending, SVG text) of each chart by itself, with its type."""
    for number, chart in enumerate(sorted(charts(subject.boat), key=_order), 1):
        page = Page(170.0, CHART_MM, curve_chart(chart, 166.0, CHART_MM), _title(chart))
        yield f"protection-curves-{number}", page_to_svg(page, embed_font=True)


def _order(chart: Chart) -> tuple[object, ...]:
    return natural_key(chart.curves[0].name)


def _title(chart: Chart) -> str:
    near, *behind = (curve.name for curve in chart.curves)
    return tr("{near} behind {behind}").format(near=near, behind=joined(behind)) if behind else near


def _chart(boat: Boat, chart: Chart, width: float) -> list[Block]:
    title = heading(_title(chart), width, anchor=f"curves/{chart.runs[0].id}")
    figure = Block(CHART_MM + 1.0, curve_chart(chart, width, CHART_MM), keeps=True)
    worst = min(chart.runs, key=lambda run: _least(boat, run.id))
    return [title, figure, paragraph(sentence(boat, first_to_open(boat, worst.id)), width, TEXT_MM), gap(1.0)]


def _least(boat: Boat, run: str) -> float:
    return min(fault.least_a for (each, _), fault in faults(boat).items() if each == run)


def _unknown(boat: Boat, width: float) -> list[Block]:
    """Said once for all of them: nobody can draw what no table has."""
    guards = without_limits(boat)
    if not guards:
        return []
    names = joined(sorted((guard_name(boat, guard) for guard in guards), key=natural_key))
    text = tr(
        "No table says how soon {names} open on a short circuit. Enter the series or the tripping curve where the drawing leaves "
        "it open, or ask the maker: nothing is said here about what opens before or after these, nor what the conductor stands."
    ).format(names=names)
    return [subheading(tr("Devices without limits"), width), paragraph(text, width, TEXT_MM)]


def _sources(boat: Boat, found: Sequence[Chart], width: float) -> list[Block]:
    listed_sources = dict.fromkeys(source for chart in found for source in _of_chart(chart))
    if not listed_sources:
        return []
    head = subheading(tr("Sources of the limits"), width)
    return [head, *(listed("·", _source(source), width, SMALL_MM) for source in listed_sources)]


def _of_chart(chart: Chart) -> Iterator[Source]:
    for curve in chart.drawn:
        for band in curve.bands:
            yield from band.sources
    if chart.conductor:
        yield from chart.conductor.least.sources


def _source(source: Source) -> str:
    status = tr("unconfirmed, from memory") if source.status == "memory" else source.status
    return f"{source.document}: {source.table} ({status})"
