"""Whatever is spoilt in whatever way: read is used and set aside, and nothing is lost."""

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.learning.fit.fit import fit_to
from faultnet.learning.fit.fitted import fitted
from faultnet.learning.fit.tally import SHOWN, WORDS, Counting, lines_of
from faultnet.learning.reading import lines
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.source import Batch, SetAside
from faultnet.sharing.sharing import Here
from tests.learning.fit.cases import NOW, good

VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=5),
    st.just([]),
    st.just({}),
)


@st.composite
def spoilt_lines(draw):
    """Return lines, some good, some spoilt: cut off, turned over, with other values, twice."""
    found = []
    for number in range(draw(st.integers(0, 6))):
        row = msgspec.to_builtins(good(f"case-{number}", number))
        where = row
        for _ in range(draw(st.integers(0, 4))):
            keys = list(where) if isinstance(where, dict) else range(len(where))
            key = draw(st.sampled_from(keys)) if keys else None
            if key is None:
                break
            if isinstance(where[key], dict | list) and draw(st.booleans()):
                where = where[key]
            else:
                where[key] = draw(VALUES)
        line = bytearray(msgspec.json.encode(row))
        for _ in range(draw(st.integers(0, 2))):
            line[draw(st.integers(0, len(line) - 1))] = draw(st.integers(0, 255))
        cut = draw(st.one_of(st.just(len(line)), st.integers(1, len(line))))
        found += [bytes(line[:cut]).replace(b"\n", b" ")] * draw(st.sampled_from((1, 1, 1, 2)))
    return found


@pytest.fixture(scope="module")
def fit(small):
    return fit_to(small.knowledge, NOW)


@settings(deadline=None, max_examples=40)
@given(rows=spoilt_lines(), stretch=st.sampled_from((1, 900, 10**6)))
def test_read_is_used_and_set_aside(fit, tmp_path_factory, rows, stretch):
    path = tmp_path_factory.getbasetemp() / "spoilt.jsonl"
    path.write_bytes(b"\n".join(rows))
    counting = Counting()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(lines, "STRETCH", stretch)
        source = fitted(LinesSource(str(path)), fit, Here())
    for part in source.parts():
        counting.add(part.read())
    tally = counting.tally
    assert tally.read == tally.used + tally.set_aside == sum(bool(row.strip()) for row in rows)
    assert {each.code for each in tally.aside} <= WORDS.keys()
    for each in tally.aside:
        assert 0 < len(each.first) <= SHOWN
        assert all(one.reason and one.place for one in each.first)
        assert all(one.reason.isprintable() for one in each.first)


def test_a_tally_in_words():
    counting = Counting("v2")
    counting.add(Batch((good(), msgspec.structs.replace(good("b"), knowledge="v1"))))
    rows = [SetAside(f"a.jsonl:{k}", "not-json", "JSON is malformed") for k in range(7)]
    counting.add_aside([*rows, SetAside("a.parquet", "damaged", "it cannot be read", rows=12)])
    assert lines_of(counting.tally)[:4] == (
        "21 closed cases read: 2 used, 19 set aside.",
        "Closed with other files than these, of those used: 1.",
        "Set aside: damaged (12)",
        "  a.parquet: it cannot be read",
    )
    assert lines_of(counting.tally)[-1] == "  and 2 more"


def test_nothing_read_is_told_too():
    assert lines_of(Counting().tally) == ("0 closed cases read: 0 used, 0 set aside.",)
