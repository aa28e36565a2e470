"""A pocket: the page, what thinks in it, and the knowledge, as files for any file server."""

from pathlib import Path

import msgspec

from faultnet import __version__
from faultnet.model.knowledge import Knowledge
from faultnet.pocket.making.core import Given, core
from faultnet.pocket.making.edition import Edition, edition_of, packed
from faultnet.pocket.making.rooms import rooms
from faultnet.pocket.making.stdlib import without_the_unasked

PAGE = Path(__file__).parents[1] / "page"
"""The files of the page, as they stand."""

STDLIB = "python_stdlib.zip"
"""Python's own modules."""


class Pocket(msgspec.Struct, frozen=True):
    """An edition with its files, by their addresses."""

    edition: Edition
    files: dict[str, bytes]

    @property
    def sent(self) -> int:
        """Bytes that come to a phone at the first time, packed where that is worth it."""
        return sum(each.packed.bytes if each.packed else each.bytes for each in self.edition.files)

    @property
    def raw(self) -> int:
        """Bytes that a phone keeps."""
        return sum(each.bytes for each in self.edition.files)


def pocket(knowledge: Knowledge, given: Given) -> Pocket:
    """Return a pocket of knowledge; ``given`` is where what runs Python is looked for.

    Raises ``MakingError``.
    """
    files = {
        **_page(),
        **{f"core/{name}": data for name, data in _core(given).items()},
        "rooms.zip": rooms(),
        "knowledge.bin": msgspec.msgpack.encode(knowledge),
    }
    small = packed(files)
    known = (knowledge.version, knowledge.region or "")
    return Pocket(edition_of(files, small, known, __version__), {**files, **small})


def _core(given: Given) -> dict[str, bytes]:
    files = core(given)
    return {**files, STDLIB: without_the_unasked(files[STDLIB])}


def _page() -> dict[str, bytes]:
    return {
        path.relative_to(PAGE).as_posix(): path.read_bytes()
        for path in sorted(PAGE.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }
