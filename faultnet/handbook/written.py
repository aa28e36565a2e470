"""The book in files: one page, one Markdown text, or a folder with a file for each chapter."""

from collections.abc import Iterator

from msgspec.structs import replace

from faultnet.handbook.look import style
from faultnet.writing.document import Document, Link, Paragraph, Picture, Section
from faultnet.writing.html import html
from faultnet.writing.markdown import markdown

PICTURES = "pictures"
"""The folder of pictures beside files of Markdown."""


def one_file(book: Document, form: str, picture_style: str = "") -> bytes:
    """Return the book as one ``html`` or ``md`` file."""
    if form == "html":
        return html(book, style(picture_style)).encode()
    return markdown(book).encode()


def folder(book: Document, form: str, picture_style: str = "") -> dict[str, bytes]:
    """Return the files of a folder by their names: ``index`` and one for each chapter.

    Pictures of Markdown get files of their own.
    """
    chapters = [each for each in book.sections if each.page and each.id != "contents"]
    first = tuple(each for each in book.sections if each not in chapters)
    file_of = {name: f"{c.id}.{form}" for c in chapters for name in ids(c)}
    file_of |= {name: f"index.{form}" for section in first for name in ids(section)}

    def written(document: Document, mine: str) -> bytes:
        def place(name: str) -> str:
            file = file_of[name]
            return f"#{name}" if file == mine else f"{file}#{name}"

        if form == "html":
            return html(document, style(picture_style), place).encode()
        return markdown(document, place, PICTURES).encode()

    files = {f"index.{form}": written(Document(book.title, "", book.facts, first), f"index.{form}")}
    back = [Paragraph((Link(each.title, each.id),)) for each in first if each.id == "contents"]
    for chapter in chapters:
        whole = replace(chapter, blocks=(*back, *chapter.blocks), page=False)
        document = Document(book.title, "", book.facts[:3], (whole,))
        files[f"{chapter.id}.{form}"] = written(document, f"{chapter.id}.{form}")
    if form == "md":
        files |= {f"{PICTURES}/{p.name}.svg": p.svg.encode() for p in pictures(book.sections)}
    return files


def ids(section: Section) -> Iterator[str]:
    """Yield the ids in a section, its own first."""
    if section.id:
        yield section.id
    for each in section.sections:
        yield from ids(each)


def pictures(sections: tuple[Section, ...]) -> Iterator[Picture]:
    """Yield the pictures in sections."""
    for section in sections:
        yield from (block for block in section.blocks if isinstance(block, Picture))
        yield from pictures(section.sections)
