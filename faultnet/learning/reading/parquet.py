"""Closed cases out of Parquet files; read row group by row group with pyarrow."""

from collections.abc import Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from faultnet.learning.reading.columns import case_of, check_columns
from faultnet.learning.reading.gathering import Gathering
from faultnet.learning.reading.row import NOT_IN_FORM
from faultnet.learning.reading.trouble import SourceError, need_pyarrow, unreadable
from faultnet.learning.source import Batch, SetAside

if TYPE_CHECKING:
    from pyarrow import RecordBatch

SLICE = 5000
"""Rows of a part at most; larger row groups are cut, and read as often as they are."""

DAMAGED = "damaged"


class ParquetSource(msgspec.Struct, frozen=True):
    """A Parquet file; as one of ``several`` it does not stop the others where it is damaged."""

    path: str
    several: bool = False

    def parts(self) -> "tuple[ParquetPart | Damaged, ...]":
        """Return the row groups, cut where they are large; raise ``SourceError``."""
        need_pyarrow(self.path)
        import pyarrow as pa
        from pyarrow import parquet

        try:
            with parquet.ParquetFile(self.path) as file:
                groups = [file.metadata.row_group(k).num_rows for k in range(file.num_row_groups)]
                names = file.schema_arrow.names
        except (pa.ArrowException, OSError, ValueError) as error:
            if isinstance(error, OSError) and error.errno:
                raise unreadable(self.path, error) from error
            reason = "is no Parquet file, or damaged"
            if not self.several:
                mend = "Have it exported again, or leave it out."
                raise SourceError(self.path, reason, mend) from error
            return (Damaged(self.path, f"the file {reason}; how many cases it held is unknown"),)
        check_columns(self.path, names)
        found, before = [], 0
        for group, rows in enumerate(groups):
            for start in range(0, rows, SLICE):
                held = min(SLICE, rows - start)
                found.append(ParquetPart(self.path, group, start // SLICE, before + start, held))
            before += rows
        return tuple(found)


class Damaged(msgspec.Struct, frozen=True):
    """A file that says nothing."""

    path: str
    reason: str

    def read(self) -> Batch:
        """Return that nothing can be read."""
        return Batch((), (SetAside(self.path, DAMAGED, self.reason),))


class ParquetPart(msgspec.Struct, frozen=True):
    """A slice of a row group (both from 0); ``before`` counts the rows that come earlier."""

    path: str
    group: int
    slice: int
    before: int
    rows: int

    def read(self) -> Batch:
        """Return the cases of the slice; raise ``SourceError`` where the file is gone."""
        import pyarrow as pa

        if not Path(self.path).is_file():
            raise SourceError(self.path, "is gone", "Leave the files alone while they are read.")
        try:
            return self._read()
        except (pa.ArrowException, OSError, ValueError) as error:
            first, last = self.before + 1, self.before + self.rows
            place = f"{self.path}, row group {self.group + 1}, rows {first} to {last}"
            reason = f"it cannot be read: {str(error).splitlines()[0][:200]}"
            return Batch((), (SetAside(place, DAMAGED, reason, rows=self.rows),))

    def _read(self) -> Batch:
        from pyarrow import parquet

        found = Gathering()
        with parquet.ParquetFile(self.path, page_checksum_verification=True) as file:
            batches = file.iter_batches(batch_size=SLICE, row_groups=[self.group])
            batch = next(islice(batches, self.slice, None), None)
            if batch is None or batch.num_rows != self.rows:
                raise ValueError(f"it holds other than {self.rows} rows")
            for number, row in enumerate(_rows(batch), self.before + 1):
                place = f"{self.path}, row {number}"
                if isinstance(row, Exception):
                    found.aside(SetAside(place, NOT_IN_FORM, f"it cannot be read: {row}"))
                else:
                    found.row(place, partial(case_of, row), partial(row.get, "id"))
        return found.batch


def _rows(batch: "RecordBatch") -> Iterator[dict[str, Any] | Exception]:
    """Yield the rows; in place of one that cannot be made into plain values, why."""
    import pyarrow as pa

    wrong = (pa.ArrowException, ValueError, LookupError, OverflowError)
    try:
        yield from batch.to_pylist(maps_as_pydicts="strict")
    except wrong:
        for number in range(batch.num_rows):
            try:
                yield from batch.slice(number, 1).to_pylist(maps_as_pydicts="strict")
            except wrong as error:
                yield error
