"""What is written is read again as it was."""

import msgspec
import pytest

from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.columns import case_of
from faultnet.learning.reading.trouble import SourceError
from faultnet.learning.reading.written import AT_ONCE, write_cases
from tests.learning.reading.cases import rich, several

parquet = pytest.importorskip("pyarrow.parquet")


def test_a_case_a_line(tmp_path):
    path = tmp_path / "closed.jsonl"
    assert write_cases(path, iter(several(3))) == 3
    lines = path.read_bytes().splitlines()
    assert [msgspec.json.decode(line, type=ClosedCase) for line in lines] == several(3)


def test_parquet_holds_them_group_by_group(tmp_path):
    path = tmp_path / "closed.parquet"
    assert write_cases(path, several(AT_ONCE + 1)) == AT_ONCE + 1
    file = parquet.ParquetFile(path)
    assert file.num_row_groups == 2
    assert [case_of(row) for row in file.read().to_pylist()] == several(AT_ONCE + 1)


def test_nested_columns_are_read_like_text():
    row = msgspec.to_builtins(rich("a"))
    row["evidence"]["layout"] = dict(row["evidence"]["layout"])
    row["steps"][0]["minutes"] = None
    assert case_of(row).evidence == rich("a").evidence


@pytest.mark.parametrize("name", ["closed.csv", "closed"])
def test_another_ending_is_refused(tmp_path, name):
    with pytest.raises(SourceError, match=r"\.jsonl"):
        write_cases(tmp_path / name, [])
    assert not list(tmp_path.iterdir())


def test_what_breaks_off_leaves_the_old_file(tmp_path):
    path = tmp_path / "closed.jsonl"
    write_cases(path, several(2))
    before = path.read_bytes()

    def broken():
        yield rich("a")
        raise KeyError("b")

    with pytest.raises(KeyError):
        write_cases(path, broken())
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["closed.jsonl"]


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(SourceError, match="cannot be written"):
        write_cases(tmp_path / "nowhere" / "closed.jsonl", [])
