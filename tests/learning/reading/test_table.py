"""A table of a server is read by ranges of ids, whatever its columns are kept as."""

import itertools

import psycopg
import pytest

from faultnet.learning.reading import table
from faultnet.learning.reading.columns import row_of
from faultnet.learning.reading.table import TableSource
from faultnet.learning.reading.trouble import SourceError
from tests.learning.reading.cases import kept, several

_NUMBERS = itertools.count(1)


@pytest.fixture
def url(server):
    return server.new_database(f"closed_{next(_NUMBERS)}")


def read(url, name="tickets"):
    return [part.read() for part in TableSource(url, name).parts()]


@pytest.mark.parametrize("nested", ["jsonb", "json", "text"])
def test_ranges_give_every_case_once(url, monkeypatch, nested):
    monkeypatch.setattr(table, "RANGE", 4)
    cases = sorted(several(10), key=lambda case: case.id)
    kept(url, map(row_of, cases), nested)
    batches = read(url)
    assert [len(batch.cases) for batch in batches] == [4, 4, 2, 0]
    assert [case for batch in batches for case in batch.cases] == cases
    assert batches[0].places[0].endswith("#tickets, id case-0")


def test_rows_with_one_id_or_none_are_not_lost(url, monkeypatch):
    monkeypatch.setattr(table, "RANGE", 2)
    rows = [row_of(case) for case in several(6)]
    for number in (1, 2, 3):
        rows[number]["id"] = "case-1"
    rows[5]["id"] = None
    kept(url, rows)
    batches = read(url)
    assert sum(len(batch.cases) for batch in batches) == 5
    (one,) = [each for batch in batches for each in batch.set_aside]
    assert one.code == "not-in-form"


def test_a_view_with_numbers_and_times_of_its_own(url):
    kept(url, map(row_of, several(3)))
    with psycopg.connect(url) as connection:
        connection.execute("CREATE SCHEMA old")
        connection.execute(
            """CREATE VIEW old.closed AS SELECT row_number() OVER (ORDER BY id) AS id, system,
            opened::timestamptz AS opened, opened::timestamp AS closed, ending, evidence
            FROM tickets"""
        )
    (batch, _) = read(url, "old.closed")
    assert [case.id for case in batch.cases] == ["1", "2", "3"]
    assert batch.cases[1].opened == several(2)[1].opened
    assert "Z" not in batch.cases[1].closed


def test_a_row_of_another_form_is_told_with_its_id(url):
    rows = [row_of(case) for case in several(2)]
    rows[1]["evidence"] = '{"rounds": 3}'
    kept(url, rows)
    (batch, _) = read(url)
    (one,) = batch.set_aside
    assert (one.code, one.case) == ("not-in-form", "case-1")
    assert one.place.endswith("#tickets, id case-1")


def test_other_columns_are_refused(url):
    with psycopg.connect(url) as connection:
        connection.execute("CREATE TABLE tickets (id text, sytem text)")
    with pytest.raises(SourceError, match="Did you mean `system`"):
        TableSource(url, "tickets").parts()


def test_a_table_or_a_server_that_is_not_there_is_told(url):
    with pytest.raises(SourceError, match="tickets"):
        TableSource(url, "tickets").parts()
    with pytest.raises(SourceError, match="no server listens"):
        TableSource("postgresql://anna@127.0.0.1:1/firm", "tickets").parts()


def test_no_password_is_told(server):
    wrong = server.url_by_network("postgres", "never-told-19")
    with pytest.raises(SourceError) as told:
        TableSource(wrong, "tickets").parts()
    assert "never-told-19" not in str(told.value)
