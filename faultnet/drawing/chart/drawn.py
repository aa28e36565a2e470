"""What stands on a sheet: texts, rules and frames in points from the upper left corner."""

from typing import TypeAlias

import msgspec


class Text(msgspec.Struct, frozen=True):
    """A line of text; ``y`` is its baseline, ``size`` in points. ``white`` stands on black."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False
    white: bool = False


class Rule(msgspec.Struct, frozen=True):
    """A straight line."""

    x: float
    y: float
    to_x: float
    to_y: float
    width: float = 0.6


class Frame(msgspec.Struct, frozen=True):
    """A rectangle, its line so wide; a ``solid`` one is black all over."""

    x: float
    y: float
    width: float
    height: float
    line: float = 0.8
    solid: bool = False


Thing: TypeAlias = Text | Rule | Frame


class Sheet(msgspec.Struct, frozen=True):
    """One side of paper with what is drawn on it, in points."""

    width: float
    height: float
    things: tuple[Thing, ...]


def moved(thing: Thing, x: float, y: float) -> Thing:
    """Return a thing so many points further right and down."""
    if isinstance(thing, Rule):
        return msgspec.structs.replace(
            thing, x=thing.x + x, y=thing.y + y, to_x=thing.to_x + x, to_y=thing.to_y + y
        )
    return msgspec.structs.replace(thing, x=thing.x + x, y=thing.y + y)
