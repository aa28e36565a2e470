"""A printed paper as its writers take it: sections of paragraphs, lists and tables."""

from typing import TypeAlias

import msgspec


class Paragraph(msgspec.Struct, frozen=True, tag_field="kind", tag="paragraph"):
    """A paragraph; a ``warning`` stands out."""

    text: str
    warning: bool = False


class Bullets(msgspec.Struct, frozen=True, tag_field="kind", tag="list"):
    """A list."""

    items: tuple[str, ...]


class Table(msgspec.Struct, frozen=True, tag_field="kind", tag="table"):
    """A table; every row is as long as the head. Empty cells are filled in by hand."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Block: TypeAlias = Paragraph | Bullets | Table


class Section(msgspec.Struct, frozen=True):
    """Blocks under a title."""

    title: str
    blocks: tuple[Block, ...]


class Document(msgspec.Struct, frozen=True):
    """A paper: its title, the facts at its head by name, its sections."""

    title: str
    copy: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
