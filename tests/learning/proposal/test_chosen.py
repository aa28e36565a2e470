"""What a source holds: every row of it is counted once."""

from faultnet.learning.closed import ClosedCase
from faultnet.learning.proposal.chosen import seen
from faultnet.learning.source import Batch, SetAside
from faultnet.learning.span import Span
from faultnet.model.evidence import Evidence
from faultnet.sharing.sharing import Here


class Damaged:
    """A source of one part, of which 5,000 rows can be read by nobody."""

    def parts(self):
        return (self,)

    def read(self):
        days = ("2026-01-03", "2026-02-03", "2026-03-03")
        cases = tuple(
            ClosedCase(f"case-{k}", "pump", day, f"{day}T08:00:00.000Z", "mended", Evidence())
            for k, day in enumerate(days)
        )
        aside = (
            SetAside("cases.parquet, row group 2", "damaged", "invented", rows=5000),
            SetAside("cases.parquet, row 3", "no-json", "invented"),
        )
        return Batch(cases, aside)


def test_rows_that_were_lost_together_are_counted_one_by_one():
    found = seen(None, Damaged(), Span(), 10, Here())
    assert found.aside.counts == {"damaged": 5000, "no-json": 1}
    assert found.systems == {"pump": 3}
    assert len(found.aside.first(3)) == 2


def test_cases_lie_before_within_or_after_some_days():
    cases = Damaged().read().cases
    span = Span("2026-02-03", "2026-02-28")
    assert [span.place(case) for case in cases] == ["before", "within", "after"]
    assert [span.holds(case) for case in cases] == [False, True, False]
    assert [Span(system="ram").holds(case) for case in cases] == [False] * 3
    assert [Span(since="2026-02-03").place(case) for case in cases] == ["before", *["within"] * 2]
