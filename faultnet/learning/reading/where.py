"""From a place in words to the source that is meant."""

from collections.abc import Sequence
from pathlib import Path

import msgspec

from faultnet.cases.store.place import SERVERS
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.store import StoreSource
from faultnet.learning.reading.table import TableSource
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.reading.written import LINES, PARQUET
from faultnet.learning.source import Part, Source
from faultnet.model.knowledge import Knowledge

STORES = (".sqlite", ".sqlite3", ".db")
"""Endings of the file of a case store."""

SHAPES = (
    f"Give a file ({LINES}, {PARQUET}), a folder of them, a case store (a file, sqlite:///FILE or "
    "postgresql://NAME@HOST/DATABASE), or a table (postgresql://NAME@HOST/DATABASE#TABLE)."
)


class Folder(msgspec.Struct, frozen=True):
    """Several sources, one after the other."""

    sources: tuple[Source, ...]

    def parts(self) -> Sequence[Part]:
        """Return the parts of all; raise ``SourceError``."""
        return tuple(part for source in self.sources for part in source.parts())


def source_of(where: str, knowledge: Knowledge) -> Source:
    """Return the source that a text names; ``knowledge`` is what a case store is read with.

    Raises ``SourceError`` for what cannot be one.
    """
    if "://" in where:
        return _by_url(where, knowledge)
    path = Path(where)
    if path.is_dir():
        return _folder(path)
    if not path.exists():
        raise SourceError(where, "there is no such file or folder", SHAPES)
    if path.suffix in STORES:
        return StoreSource(where, knowledge)
    return _file(path)


def _by_url(where: str, knowledge: Knowledge) -> Source:
    url, _, table = where.partition("#")
    scheme = url.partition("://")[0]
    if scheme == "sqlite" and not table:
        return StoreSource(where, knowledge)
    if scheme not in SERVERS:
        raise SourceError(f"{scheme[:40]}://", "cases are not read from there", SHAPES)
    return TableSource(url, table) if table else StoreSource(url, knowledge)


def _file(path: Path, *, several: bool = False) -> Source:
    if path.suffix == LINES:
        return LinesSource(str(path))
    if path.suffix == PARQUET:
        return ParquetSource(str(path), several)
    ending = f"ending in `{path.suffix}`" if path.suffix else "without an ending"
    raise SourceError(str(path), f"what a file {ending} holds is not known", SHAPES)


def _folder(path: Path) -> Folder:
    """Return the files of a folder and those below it, by their names; hidden ones are left."""
    found = [
        each
        for each in sorted(path.rglob("*"))
        if each.suffix in {LINES, PARQUET} and each.is_file() and each.name[0] not in "._"
    ]
    if not found:
        raise SourceError(str(path), f"holds no {LINES} or {PARQUET} file", SHAPES)
    return Folder(tuple(_file(each, several=True) for each in found))
