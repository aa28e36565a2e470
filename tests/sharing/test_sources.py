"""Closed cases read by two workers of a cluster, wherever they lie: the same bytes."""

import msgspec
import pytest

from faultnet.learning.estimate.estimate import Rounds, estimate
from faultnet.learning.reading import table
from faultnet.learning.reading.columns import row_of
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.table import TableSource
from faultnet.learning.reading.written import write_cases
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here
from tests.learning.estimate.small import closed_case, small
from tests.learning.reading.cases import kept

PARTS, IN_PART = 4, 15


class Several(msgspec.Struct, frozen=True):
    """Sources one after the other."""

    each: tuple

    def parts(self):
        return tuple(part for source in self.each for part in source.parts())


@pytest.fixture(scope="module")
def cases():
    """Cases in parts, in the order of their ids."""
    drawn = [closed_case(small(), small().network, 3, k) for k in range(PARTS * IN_PART)]
    named = [msgspec.structs.replace(case, id=f"T{k:03}") for k, case in enumerate(drawn)]
    return [named[k : k + IN_PART] for k in range(0, len(named), IN_PART)]


def as_bytes(what):
    """Return what something is; a server may have its fields in another order."""
    return msgspec.json.encode(what, order="sorted")


def in_files(folder, cases, ending, kind):
    """A file for each part."""
    paths = [folder / f"{number}.{ending}" for number in range(len(cases))]
    for path, some in zip(paths, cases, strict=True):
        write_cases(path, some)
    return Several(tuple(kind(str(path)) for path in paths))


def in_table(url, cases):
    """A table that is read in as many ranges of ids."""
    kept(url, (row_of(case) for some in cases for case in some))
    return TableSource(url, "tickets")


def test_cases_and_what_is_learnt_are_the_same_out_of_every_source(
    on_two, server, cases, tmp_path, monkeypatch
):
    pytest.importorskip("pyarrow")
    monkeypatch.setattr(table, "RANGE", IN_PART)
    sources = [
        in_table(server.new_database("shared_out"), cases),
        in_files(tmp_path, cases, "parquet", ParquetSource),
        in_files(tmp_path, cases, "jsonl", LinesSource),
    ]
    at_hand = Several(tuple(map(CasesAtHand, map(tuple, cases))))
    alone = as_bytes(estimate(small(), at_hand, Here(1), rounds=Rounds(most=1)))
    for source in sources:
        parts = [part for part in source.parts() if part.read().cases]
        assert len(parts) == PARTS
        read = [batch.cases for batch in on_two.each(type(parts[0]).read, parts)]
        assert as_bytes(read) == as_bytes(cases)
        learnt = estimate(small(), source, on_two, rounds=Rounds(most=1))
        assert as_bytes(learnt) == alone
