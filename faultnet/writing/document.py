"""A printed paper as its writers take it: sections of paragraphs, lists, tables and pictures."""

from typing import TypeAlias

import msgspec


class Link(msgspec.Struct, frozen=True, tag_field="kind", tag="link"):
    """Words that lead to the section of an id, here or in a file beside."""

    text: str
    to: str


class Aside(msgspec.Struct, frozen=True, tag_field="kind", tag="aside"):
    """Words beside the matter, such as where a number comes from."""

    words: "tuple[str | Link, ...]"


class Share(msgspec.Struct, frozen=True, tag_field="kind", tag="share"):
    """A share of 1 as a bar, beside words that tell it; left out where nothing can be drawn."""

    share: float


Piece: TypeAlias = str | Link | Aside | Share

Text: TypeAlias = str | tuple[Piece, ...]
"""Words, or several pieces of them in a row."""


class Paragraph(msgspec.Struct, frozen=True, tag_field="kind", tag="paragraph"):
    """A paragraph; a ``warning`` stands out, one of ``danger`` most of all."""

    text: Text
    warning: bool = False
    danger: bool = False


class Bullets(msgspec.Struct, frozen=True, tag_field="kind", tag="list", omit_defaults=True):
    """A list; ``numbered`` where the order counts."""

    items: tuple[Text, ...]
    numbered: bool = False


class Table(msgspec.Struct, frozen=True, tag_field="kind", tag="table"):
    """A table; every row is as long as the head. Empty cells are filled in by hand."""

    head: tuple[str, ...]
    rows: tuple[tuple[Text, ...], ...]


class Picture(msgspec.Struct, frozen=True, tag_field="kind", tag="picture"):
    """A picture as SVG, with the name of its file where it gets one, and what it is about."""

    name: str
    svg: str
    about: str


Block: TypeAlias = Paragraph | Bullets | Table | Picture


class Section(msgspec.Struct, frozen=True, omit_defaults=True):
    """Blocks under a title, then smaller sections; ``page`` where it begins a new one.

    ``id`` is what links lead to; empty where none does.
    """

    title: str
    blocks: tuple[Block, ...]
    id: str = ""
    sections: "tuple[Section, ...]" = ()
    page: bool = False


class Document(msgspec.Struct, frozen=True):
    """A paper: its title, the facts at its head by name, its sections."""

    title: str
    copy: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]


def plain_text(text: Text) -> str:
    """Return words without links, asides in brackets."""
    if isinstance(text, str):
        return text
    return "".join(map(_plain_piece, text))


def _plain_piece(piece: Piece) -> str:
    match piece:
        case Link(words, _):
            return words
        case Aside(words):
            return f"({''.join(map(_plain_piece, words))})"
        case Share():
            return ""
        case _:
            return piece
