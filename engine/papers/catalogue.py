"""Every paper the program makes, in one table: the command line and the window offer what stands here.

A paper turns a Subject into files (name ending and content); those that are pages can be previewed before they are written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

import msgspec

from engine.drawing.display import Page
from engine.library.device import Library
from engine.library.symbol import Symbol
from engine.messages import tr
from engine.model.document import Document
from engine.papers.energy_balance import energy_balance
from engine.papers.inspection_list import inspection_paper
from engine.papers.load_list import load_list
from engine.papers.owners_drawing import owners_drawing
from engine.papers.page import PAPER_SIZES
from engine.papers.panel_schedule import panel_schedule
from engine.papers.protection_curves import protection_curves, protection_svgs
from engine.papers.report import report_paper
from engine.papers.run_list import run_list, run_list_table
from engine.papers.sheets_svg import sheets_svg
from engine.papers.sizing_proposal import sizing_proposal
from engine.papers.subject import Subject
from engine.pipeline import Analysis

Pages = Callable[[Subject], tuple[Page, ...]]


class Made(msgspec.Struct, frozen=True):
    """A file that a paper gives: what follows the boat's name in its own name ("panel-schedule.pdf"), and its content."""

    ending: str
    content: bytes


class Paper(msgspec.Struct, frozen=True):
    """One paper. `name` is what --only takes; `files` makes its files; `pages` is None where it is not pages."""

    name: str
    title: str
    description: str
    formats: tuple[str, ...]
    files: Callable[[Subject], Iterator[Made]]
    pages: Pages | None = None

    def make(
        self,
        document: Document,
        analysis: Analysis,
        library: Library,
        symbols: Mapping[str, Symbol],
        paper_size: str = "A4",
    ) -> Iterator[Made]:
        """The files of this paper for a boat; `paper_size` is one of PAPER_SIZES, else ValueError."""
        return self.files(subject_of(document, analysis, library, symbols, paper_size))


def subject_of(
    document: Document, analysis: Analysis, library: Library, symbols: Mapping[str, Symbol], paper_size: str = "A4"
) -> Subject:
    """What the papers are made from. ValueError for a paper size that is not one of PAPER_SIZES."""
    if paper_size not in PAPER_SIZES:
        raise ValueError(tr("There is no paper size {size}; there are {sizes}.").format(
            size=paper_size, sizes=", ".join(PAPER_SIZES)
        ))  # fmt: skip
    return Subject(document, analysis, library, symbols, paper_size)


def _pdf(name: str, title: str, pages: Pages) -> Callable[[Subject], Iterator[Made]]:
    def files(subject: Subject) -> Iterator[Made]:
        yield Made(f"{name}.pdf", _pdf_content(subject, title, pages(subject)))

    return files


def _pdf_content(subject: Subject, title: str, pages: Sequence[Page]) -> bytes:
    from engine.export.pdf import pdf_bytes

    about = subject.particulars
    return pdf_bytes(pages, title=f"{about.name}: {tr(title)}", author=about.yard, subject=about.drawing_number)


def _run_list_files(subject: Subject) -> Iterator[Made]:
    from engine.export.csv_table import csv_bytes
    from engine.export.xlsx import xlsx_bytes

    table, about = run_list_table(subject), subject.particulars
    yield Made("run-list.csv", csv_bytes(table))
    yield Made("run-list.xlsx", xlsx_bytes(table, title=f"{about.name}: {table.title}", author=about.yard))
    yield Made("run-list.pdf", _pdf_content(subject, "Run list", run_list(subject)))


def _load_list_files(subject: Subject) -> Iterator[Made]:
    from engine.export.csv_table import csv_bytes
    from engine.export.xlsx import xlsx_bytes
    from engine.papers.load_tables import load_table, sums_table

    loads, sums, about = load_table(subject.boat), sums_table(subject.boat), subject.particulars
    yield Made("load-list.csv", csv_bytes(loads))
    yield Made("load-sums.csv", csv_bytes(sums))
    yield Made("load-list.xlsx", xlsx_bytes(loads, sums, title=f"{about.name}: {tr('Load list')}", author=about.yard))
    yield Made("load-list.pdf", _pdf_content(subject, "Load list", load_list(subject)))


def _sheet_files(subject: Subject) -> Iterator[Made]:
    for name, text in sheets_svg(subject):
        yield Made(f"{name}.svg", text.encode("utf-8"))


def _curve_files(subject: Subject) -> Iterator[Made]:
    yield Made("protection-curves.pdf", _pdf_content(subject, "Protection curves", protection_curves(subject)))
    for name, text in protection_svgs(subject):
        yield Made(f"{name}.svg", text.encode("utf-8"))


def _report_files(subject: Subject) -> Iterator[Made]:
    from engine.papers.report_json import report_json

    yield Made("report.pdf", _pdf_content(subject, "Check report", report_paper(subject)))
    yield Made("report.json", report_json(subject).encode("utf-8"))


PAPERS: tuple[Paper, ...] = (
    Paper(
        "panel-schedule",
        "Panel schedule",
        "Every panel way by way: device, circuit, loads, wire, sums. For the wall beside the panel.",
        ("pdf",),
        _pdf("panel-schedule", "Panel schedule", panel_schedule),
        panel_schedule,
    ),
    Paper(
        "owners-drawing",
        "Owner's wiring drawing",
        "The sheets, index by load, fuse table, what stays live, switches, additions, emergency, shore power, cautions.",
        ("pdf",),
        _pdf("owners-drawing", "Owner's wiring drawing", owners_drawing),
        owners_drawing,
    ),
    Paper(
        "run-list",
        "Run list",
        "Every wire: ends, size, colours, length, protection, current, drop, label texts.",
        ("csv", "xlsx", "pdf"),
        _run_list_files,
        run_list,
    ),
    Paper(
        "load-list",
        "Load list",
        "Every load with its amperes in each condition; sums per panel, bus, bank and feeder, the worst condition named.",
        ("csv", "xlsx", "pdf"),
        _load_list_files,
        load_list,
    ),
    Paper(
        "sheets-svg",
        "Sheets as SVG",
        "Each drawing sheet as a picture file.",
        ("svg",),
        _sheet_files,
    ),
    Paper(
        "inspection-list",
        "Inspection list",
        "What no drawing can show, place by place: boxes to tick, room for what was measured.",
        ("pdf",),
        _pdf("inspection-list", "Inspection list", inspection_paper),
        inspection_paper,
    ),
    Paper(
        "energy-balance",
        "Energy balance",
        "Each bank in each condition: Ah drawn and charged in a day, days it lasts, hours to charge, charge over three days.",
        ("pdf",),
        _pdf("energy-balance", "Energy balance", energy_balance),
        energy_balance,
    ),
    Paper(
        "protection-curves",
        "Protection curves",
        "How soon each fuse and breaker opens on a short circuit, which opens first, what the conductor stands: log-log charts.",
        ("pdf", "svg"),
        _curve_files,
        protection_curves,
    ),
    Paper(
        "sizing-proposal",
        "Sizing proposal",
        "Conductors and devices sized for the rulebooks: each change with its reason, findings before and after.",
        ("pdf",),
        _pdf("sizing-proposal", "Sizing proposal", sizing_proposal),
        sizing_proposal,
    ),
    Paper(
        "report",
        "Check report",
        "What was checked, what was met, what cannot be told, every finding with sum, clause and remedy.",
        ("pdf", "json"),
        _report_files,
        report_paper,
    ),
)


def paper_named(name: str) -> Paper:
    """The paper of that name. KeyError if there is none."""
    for paper in PAPERS:
        if paper.name == name:
            return paper
    raise KeyError(name)
