"""The sheet that a picture is printed on: the smallest on which its letters can be read."""

import msgspec

SHEETS = (
    ("A4", 194.0, 277.0),
    ("A4 landscape", 277.0, 194.0),
    ("A3", 277.0, 400.0),
    ("A3 landscape", 400.0, 277.0),
)
"""Sheets with the room inside their margins, in millimetres (ISO 216)."""

READABLE = 0.19
"""Millimetres on paper for a pixel of the picture: letters of about 6 pt."""


class Sheet(msgspec.Struct, frozen=True):
    """A sheet, and the millimetres on it for a pixel of the picture."""

    name: str
    scale: float


def sheet_for(wide: float, high: float) -> Sheet:
    """Return the sheet for a picture of so many pixels; the largest where none is enough."""
    found = [Sheet(name, min(a / wide, d / high, 0.265)) for name, a, d in SHEETS]
    fit = [sheet for sheet in found if sheet.scale >= READABLE]
    return fit[0] if fit else max(found, key=lambda sheet: sheet.scale)


def print_style(wide: float, high: float) -> str:
    """Return the style that puts a picture on its sheet."""
    sheet = sheet_for(wide, high)
    size = f"width: {wide * sheet.scale:.1f}mm; height: {high * sheet.scale:.1f}mm;"
    return (
        f"@page {{ size: {sheet.name}; margin: 8mm; }}\n@media print {{ svg.net {{ {size} }} }}\n"
    )
