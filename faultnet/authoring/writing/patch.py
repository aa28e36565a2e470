"""Changes as a patch that `git apply` and `patch -p1` take, byte for byte."""

import difflib
from collections.abc import Iterable, Iterator

from faultnet.authoring.writing.change import Change

_BARE = b"\\ No newline at end of file\n"


def patch(changes: Iterable[Change]) -> bytes:
    """Return changes as a unified diff, with paths below the knowledge folder."""
    return b"".join(line for change in changes for line in _lines(change))


def _lines(change: Change) -> Iterator[bytes]:
    name = change.name.encode()
    yield b"diff --git a/%b b/%b\n" % (name, name)
    if change.before is None:
        yield b"new file mode 100644\n"
    old = b"/dev/null" if change.before is None else b"a/" + name
    before, after = [*_fed(change.before or b"")], [*_fed(change.after)]
    told = difflib.diff_bytes(difflib.unified_diff, before, after, old, b"b/" + name, n=3)
    for line in told:
        yield line if line.endswith(b"\n") else line + b"\n" + _BARE


def _fed(data: bytes) -> Iterator[bytes]:
    """Lines by their line feeds alone; a carriage return is a letter like others."""
    *whole, last = data.split(b"\n")
    yield from (line + b"\n" for line in whole)
    if last:
        yield last
