"""A sheet as SVG; the letters that it needs come along in it."""

from base64 import b64encode
from collections.abc import Sequence
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from faultnet.drawing.chart.drawn import Frame, Rule, Sheet, Text, Thing
from faultnet.writing.letters import FILES

FAMILY = "Sheet"


def as_svg(sheets: Sequence[Sheet], title: str) -> list[bytes]:
    """Return each sheet as SVG, as large as the paper."""
    texts = [t for sheet in sheets for t in sheet.things if isinstance(t, Text)]
    faces = "".join(
        _face("".join(t.text for t in texts if t.bold is bold), bold=bold) for bold in (False, True)
    )
    return [_written(sheet, title, faces) for sheet in sheets]


def _written(sheet: Sheet, title: str, faces: str) -> bytes:
    drawn = sorted(sheet.things, key=lambda each: isinstance(each, Text))
    width, height = sheet.width, sheet.height
    size = f'width="{width / 72 * 25.4:.2f}mm" height="{height / 72 * 25.4:.2f}mm"'
    view = f'viewBox="0 0 {width:.2f} {height:.2f}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {view}>',
        f"<title>{escape(title)}</title>",
        f'<style>{faces}text{{font-family:"{FAMILY}",sans-serif;white-space:pre}}</style>',
        f'<rect width="{width:.2f}" height="{height:.2f}" fill="#fff"/>',
        *map(_draw, drawn),
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode()


def _draw(thing: Thing) -> str:
    match thing:
        case Text():
            weight = ' font-weight="700"' if thing.bold else ""
            ink = ' fill="#fff"' if thing.white else ""
            place = f'x="{thing.x:.2f}" y="{thing.y:.2f}" font-size="{thing.size:g}"'
            return f"<text {place}{weight}{ink}>{escape(thing.text)}</text>"
        case Rule():
            ends = f'x1="{thing.x:.2f}" y1="{thing.y:.2f}" x2="{thing.to_x:.2f}"'
            return (
                f'<line {ends} y2="{thing.to_y:.2f}" stroke="#000" stroke-width="{thing.width:g}"/>'
            )
        case Frame():
            ink = (
                'fill="#000"'
                if thing.solid
                else f'fill="none" stroke="#000" stroke-width="{thing.line:g}"'
            )
            size = f'width="{thing.width:.2f}" height="{thing.height:.2f}"'
            return f'<rect x="{thing.x:.2f}" y="{thing.y:.2f}" {size} {ink}/>'


def _face(text: str, *, bold: bool) -> str:
    """Return a cut of the letters with no more of them than a text needs."""
    if not text:
        return ""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    font: Any = TTFont(FILES[bold])  # closed below, once it is written
    options = Options(layout_features=[], notdef_outline=True, hinting=False)
    options.drop_tables += ["FFTM"]
    subsetter = Subsetter(options)
    subsetter.populate(text=text)
    subsetter.subset(font)
    written = BytesIO()
    font.save(written)
    font.close()
    data = b64encode(written.getvalue()).decode()
    weight = 700 if bold else 400
    return (
        f'@font-face{{font-family:"{FAMILY}";font-weight:{weight};'
        f"src:url(data:font/ttf;base64,{data})}}"
    )
