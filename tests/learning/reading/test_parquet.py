"""Row groups of Parquet are parts; a damaged one does not stop the others."""

import datetime as dt

import msgspec
import pytest

from faultnet.learning.reading import parquet, written
from faultnet.learning.reading.parquet import ParquetSource
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.reading.written import write_cases
from tests.learning.reading.cases import rich, several

pa = pytest.importorskip("pyarrow")
pq = pytest.importorskip("pyarrow.parquet")


def cases_of(batches):
    return [case for batch in batches for case in batch.cases]


def read(path, several=False):
    return [part.read() for part in ParquetSource(str(path), several).parts()]


def test_groups_and_slices_of_them_give_every_case_once(tmp_path, monkeypatch):
    monkeypatch.setattr(written, "AT_ONCE", 7)
    monkeypatch.setattr(parquet, "SLICE", 3)
    path = tmp_path / "closed.parquet"
    write_cases(path, several(16))
    batches = read(path)
    assert [len(batch.cases) for batch in batches] == [3, 3, 1, 3, 3, 1, 2]
    assert cases_of(batches) == several(16)
    assert [place for batch in batches for place in batch.places] == [
        f"{path}, row {number}" for number in range(1, 17)
    ]


def test_nested_columns_and_times_of_other_programs_are_read(tmp_path):
    rows = [msgspec.to_builtins(rich(f"case-{k}")) for k in range(3)]
    pairs = pa.map_(pa.string(), pa.string())
    answer = pa.struct([(name, pa.string()) for name in ("finding", "answer", "speaker")])
    words = pa.list_(pa.string())
    taken = pa.struct([("reading", pa.string()), ("parts", pa.map_(pa.string(), pa.float64()))])
    rounds = [("answers", pa.list_(answer)), ("taken", pa.list_(taken))]
    rounds += [(name, words) for name in ("repairs", "redraws", "spoiled")]
    held = pa.map_(pa.string(), pa.bool_())
    evidence = [("rounds", pa.list_(pa.struct(rounds))), ("layout", pairs)]
    evidence += [("circumstances", held), ("set_ups", words), ("made_safe", words)]
    times = pa.timestamp("ms", tz="UTC")
    for row in rows:
        for field in ("opened", "closed"):
            row[field] = dt.datetime.fromisoformat(row[field])
    table = pa.table(
        {
            **{name: [row[name] for row in rows] for name in rows[0] if name != "evidence"},
            "opened": pa.array([row["opened"] for row in rows], times),
            "evidence": pa.array([row["evidence"] for row in rows], pa.struct(evidence)),
        }
    )
    path = tmp_path / "closed.parquet"
    pq.write_table(table, path)
    (batch,) = read(path)
    assert batch.cases == tuple(rich(f"case-{k}") for k in range(3))


def test_spoilt_rows_are_told_with_their_number(tmp_path):
    rows = [written.row_of(case) for case in several(4)]
    rows[1]["evidence"] = rows[1]["evidence"][:-9]
    rows[2]["steps"] = '{"step": 1}'
    rows[3]["id"] = None
    path = tmp_path / "closed.parquet"
    pq.write_table(pa.Table.from_pylist(rows), path)
    (batch,) = read(path)
    assert [case.id for case in batch.cases] == ["case-0"]
    assert [(each.place, each.code, each.case) for each in batch.set_aside] == [
        (f"{path}, row 2", "not-json", "case-1"),
        (f"{path}, row 3", "not-in-form", "case-2"),
        (f"{path}, row 4", "not-in-form", ""),
    ]


def test_text_that_is_no_text_spoils_its_row_alone(tmp_path):
    columns = {
        name: [row[name] for row in map(written.row_of, several(3))] for name in written.COLUMNS
    }
    ids = pa.array([b"case-0", b"case-\xff", b"case-2"], pa.binary()).view(pa.string())
    path = tmp_path / "closed.parquet"
    pq.write_table(pa.table({**columns, "id": ids}), path)
    (batch,) = read(path)
    assert [case.id for case in batch.cases] == ["case-0", "case-2"]
    assert [each.place for each in batch.set_aside] == [f"{path}, row 2"]


def test_a_damaged_group_is_told_and_the_others_are_read(tmp_path, monkeypatch):
    monkeypatch.setattr(written, "AT_ONCE", 50)
    path = tmp_path / "closed.parquet"
    write_cases(path, several(150))
    chunk = pq.ParquetFile(path).metadata.row_group(1).column(5)
    data = bytearray(path.read_bytes())
    data[chunk.data_page_offset - 9] ^= 0x10
    path.write_bytes(data)
    first, second, third = read(path)
    assert (len(first.cases), len(third.cases)) == (50, 50)
    assert not second.cases
    (one,) = second.set_aside
    assert (one.code, one.rows) == ("damaged", 50)
    assert one.place == f"{path}, row group 2, rows 51 to 100"


def test_a_damaged_file_is_refused_alone_and_set_aside_among_others(tmp_path):
    path = tmp_path / "closed.parquet"
    write_cases(path, several(2))
    path.write_bytes(path.read_bytes()[:-30])
    with pytest.raises(SourceError, match="damaged"):
        read(path)
    (batch,) = read(path, several=True)
    assert [(each.place, each.code) for each in batch.set_aside] == [(str(path), "damaged")]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda row: row.pop("evidence"), "`evidence` is missing"),
        (lambda row: row.update(confirmd="[]"), "Did you mean `confirmed`?"),
    ],
)
def test_columns_that_do_not_fit_are_refused(tmp_path, change, told):
    row = written.row_of(rich("a"))
    change(row)
    path = tmp_path / "closed.parquet"
    pq.write_table(pa.Table.from_pylist([row]), path)
    with pytest.raises(SourceError, match=told.replace("?", r"\?")):
        read(path)


def test_a_file_that_is_gone_is_told(tmp_path):
    path = tmp_path / "closed.parquet"
    write_cases(path, several(2))
    (part,) = ParquetSource(str(path)).parts()
    path.unlink()
    with pytest.raises(SourceError, match="is gone"):
        part.read()


def test_no_flipped_bit_makes_another_case(tmp_path):
    path = tmp_path / "closed.parquet"
    write_cases(path, several(20))
    whole = path.read_bytes()
    for at in range(100, len(whole) - 100, len(whole) // 40):
        data = bytearray(whole)
        data[at] ^= 0x10
        path.write_bytes(data)
        try:
            batches = read(path, several=True)
        except SourceError:
            continue  # it struck the name of a column
        assert any(batch.set_aside for batch in batches) or cases_of(batches) == several(20)
