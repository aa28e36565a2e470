"""From a place in words to what is read there."""

import pytest

from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.store import StoreSource
from faultnet.learning.reading.table import TableSource
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.reading.where import source_of
from faultnet.learning.reading.written import write_cases
from tests.learning.reading.cases import several


@pytest.mark.parametrize(
    ("name", "kind"),
    [("a.jsonl", LinesSource), ("a.parquet", ParquetSource), ("a.sqlite", StoreSource)],
)
def test_a_file_is_known_by_its_ending(small, tmp_path, name, kind):
    (tmp_path / name).touch()
    assert isinstance(source_of(str(tmp_path / name), small.knowledge), kind)


def test_urls(small):
    assert source_of("postgresql://anna@host/firm#old.tickets", small.knowledge) == TableSource(
        "postgresql://anna@host/firm", "old.tickets"
    )
    for url in ("postgresql://anna@host/firm", "sqlite:////tmp/cases.db"):
        assert isinstance(source_of(url, small.knowledge), StoreSource)


def test_a_folder_is_read_by_the_names_of_its_files(small, tmp_path):
    (tmp_path / "2026").mkdir()
    write_cases(tmp_path / "2026" / "b.jsonl", several(3))
    write_cases(tmp_path / "a.jsonl", several(2))
    (tmp_path / "_SUCCESS.jsonl").write_text("{")
    (tmp_path / "notes.txt").write_text("none")
    found = [part.read() for part in source_of(str(tmp_path), small.knowledge).parts()]
    assert [len(batch.cases) for batch in found] == [3, 2]


@pytest.mark.parametrize(
    "where", ["nowhere.jsonl", "mysql://host/db", "file://a#b", "sqlite:///a.db#t", "a.csv", "."]
)
def test_what_cannot_be_read_is_refused_with_what_can(small, tmp_path, monkeypatch, where):
    monkeypatch.chdir(tmp_path)
    if where == "a.csv":
        (tmp_path / where).touch()
    with pytest.raises(SourceError, match=r"\.jsonl, \.parquet"):
        source_of(where, small.knowledge)


def test_a_store_that_is_not_there_is_not_made(small, tmp_path):
    source = source_of(f"sqlite:///{tmp_path}/none.db", small.knowledge)
    with pytest.raises(SourceError, match="no such store"):
        source.parts()
    assert not list(tmp_path.iterdir())
