"""Display list -> SVG: one drawing in millimetres, groups with their keys, real text.

A dumb backend: it resolves colours and writes, and decides nothing.
"""

from __future__ import annotations

import base64
import re
from xml.sax.saxutils import escape, quoteattr

from engine.drawing.display import Group, Image, Item, Page, Path, Pen, Segment, Text
from engine.drawing.metrics import FAMILY, em_mm, font_bytes, text_width_mm
from engine.drawing.theme import PAPER, Theme, colour

FALLBACKS = f"{FAMILY}, Fira Sans Condensed, DejaVu Sans Condensed, sans-serif"


def page_to_svg(page: Page, theme: Theme = PAPER, *, embed_font: bool = False) -> str:
    """The page as an SVG document; with `embed_font` the type family goes with it (110 kB), to look alike anywhere.

    Where the family is missing, each text still takes the width it was measured at. A group has data-key, and an id
    made from the key where that is the first of its kind.
    """
    seen: set[str] = set()
    width, height = _n(page.width_mm), _n(page.height_mm)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"',
        f'  font-family="{FALLBACKS}" xml:space="preserve"',
        '  fill-rule="evenodd" stroke-linecap="round" stroke-linejoin="round">',
        f"<title>{escape(page.title)}</title>",
        f"<style>{_style(embed_font)}</style>",
        f'<rect width="{width}" height="{height}" fill="{colour(theme, "paper")}"/>',
        *(line for item in page.items for line in _item(item, theme, seen)),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _style(embed_font: bool) -> str:
    faces = "".join(_face(weight, number) for weight, number in (("regular", 400), ("bold", 700))) if embed_font else ""
    return f"{faces}text{{font-kerning:none;white-space:pre}}"


def _face(weight: str, number: int) -> str:
    data = base64.b64encode(font_bytes("bold" if weight == "bold" else "regular")).decode("ascii")
    source = f"url(data:font/ttf;base64,{data})"
    return f"@font-face{{font-family:'{FAMILY}';font-weight:{number};src:{source}}}"


def _item(item: Item, theme: Theme, seen: set[str]) -> list[str]:
    match item:
        case Group():
            inner = [line for child in item.items for line in _item(child, theme, seen)]
            return [f"<g{_identity(item.key, seen)}>", *inner, "</g>"]
        case Text():
            return [_text(item, theme)] if item.string else []
        case Image():
            return [_image(item)]
    return [_path(item, theme)]


def _identity(key: str, seen: set[str]) -> str:
    name = re.sub(r"[^A-Za-z0-9_.-]", "-", key)
    first = name not in seen and bool(re.match("[A-Za-z_]", name))
    seen.add(name)
    return f" data-key={quoteattr(key)}" + (f' id="{name}"' if first else "")


def _path(path: Path, theme: Theme) -> str:
    fill = colour(theme, path.fill) if path.fill else "none"
    stroke = _stroke(path.pen, theme) if path.pen else ""
    return f'<path d="{outline_to_path(path.outline)}" fill="{fill}"{stroke}/>'


def outline_to_path(outline: tuple[Segment, ...]) -> str:
    """An outline as an SVG path string, to a thousandth of a millimetre."""
    return "".join(verb + " ".join(_n(value) for value in values) for verb, values in outline)


def _stroke(pen: Pen, theme: Theme) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(part) for part in pen.dash_mm)}"' if pen.dash_mm else ""
    return f' stroke="{colour(theme, pen.colour)}" stroke-width="{_n(pen.width_mm)}"{dash}'


def _text(text: Text, theme: Theme) -> str:
    weight = ' font-weight="700"' if text.weight == "bold" else ""
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    turn = f' transform="rotate(-90 {_n(text.x_mm)} {_n(text.y_mm)})"' if text.angle_deg == 90 else ""
    width = _n(text_width_mm(text.string, text.height_mm, text.weight))
    return (
        f'<text x="{_n(text.x_mm)}" y="{_n(text.y_mm)}" font-size="{_n(em_mm(text.height_mm, text.weight))}"'
        f' textLength="{width}" lengthAdjust="spacingAndGlyphs" fill="{colour(theme, text.colour)}"'
        f"{weight}{anchor}{turn}>{escape(text.string)}</text>"
    )


def _image(image: Image) -> str:
    data = base64.b64encode(image.png).decode("ascii")
    box = f'x="{_n(image.x_mm)}" y="{_n(image.y_mm)}" width="{_n(image.width_mm)}" height="{_n(image.height_mm)}"'
    return f'<image {box} preserveAspectRatio="none" href="data:image/png;base64,{data}"/>'


def _n(value: float) -> str:
    """A number to three decimals, as short as it goes."""
    short = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short
