"""Closed cases written to a file, one after the other: never more than a few are in memory."""

import contextlib
import os
import tempfile
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import IO

import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.columns import COLUMNS, NUMBERS, row_of
from faultnet.learning.reading.trouble import SourceError, need_pyarrow

LINES = ".jsonl"
PARQUET = ".parquet"

AT_ONCE = 1000
"""Cases of a row group; a part of a source, when they are read again."""


def write_cases(path: Path, cases: Iterable[ClosedCase]) -> int:
    """Write cases to a file, in place of another only when it is whole; return how many.

    The ending says how: ``.jsonl`` for a case a line in JSON, ``.parquet`` for Parquet, which
    needs pyarrow. The file can be read by its owner alone. Raises ``SourceError``.
    """
    check_ending(path)
    write = _write_lines if path.suffix == LINES else _write_groups
    with _new(path) as stream:
        return write(stream, cases)


def check_ending(path: Path) -> None:
    """Raise ``SourceError`` for a file whose ending does not say how cases are written."""
    if path.suffix not in {LINES, PARQUET}:
        reason = f"cases are written to {LINES} or {PARQUET}, not to `{path.suffix or path.name}`"
        raise SourceError(str(path), reason, "Give the file one of these endings.")
    if path.suffix == PARQUET:
        need_pyarrow(str(path))


def _write_lines(stream: IO[bytes], cases: Iterable[ClosedCase]) -> int:
    encoder, count = msgspec.json.Encoder(), 0
    for case in cases:
        stream.write(encoder.encode(case) + b"\n")
        count += 1
    return count


def _write_groups(stream: IO[bytes], cases: Iterable[ClosedCase]) -> int:
    import pyarrow as pa
    from pyarrow import parquet

    schema = pa.schema([(c, pa.int64() if c in NUMBERS else pa.string()) for c in COLUMNS])
    left, count = map(row_of, cases), 0
    with parquet.ParquetWriter(
        stream, schema, compression="zstd", write_page_checksum=True
    ) as writer:
        while rows := list(islice(left, AT_ONCE)):
            writer.write_batch(pa.RecordBatch.from_pylist(rows, schema))
            count += len(rows)
    return count


@contextlib.contextmanager
def _new(path: Path) -> Iterator[IO[bytes]]:
    """Open a new file that takes the place of the other once all is written."""
    try:
        handle, new = tempfile.mkstemp(prefix=f".{path.name[:40]}-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                yield stream
            Path(new).replace(path)
        except BaseException:
            Path(new).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise SourceError(
            str(path),
            f"cannot be written ({error.strerror or 'the disk says no'})",
            "Name another file, or let yourself write there.",
        ) from error
