"""docs/closed-cases.md has the fields, the codes and a case that can be used."""

import json
import re

from faultnet.authoring.library import read_knowledge
from faultnet.learning.closed import ClosedCase
from faultnet.learning.fit.fit import fit_to
from faultnet.learning.fit.tally import WORDS
from faultnet.learning.reading.columns import NEEDED
from faultnet.learning.reading.lines import LinesSource
from faultnet.learning.source import Batch
from tests.docs.pages import ROOT, boxes, text_of

PAGE = ROOT / "docs/closed-cases.md"
ROWS = re.findall(r"^\| `([a-z_-]+)` \|", text_of(PAGE), re.MULTILINE)


def test_every_field_and_every_code_has_its_row():
    assert [*ClosedCase.__struct_fields__, *WORDS] == ROWS
    assert ClosedCase.__struct_fields__[:6] == NEEDED


def test_the_case_that_is_shown_can_be_used(tmp_path):
    (shown,) = boxes(PAGE, "json")
    path = tmp_path / "shown.jsonl"
    path.write_text(json.dumps(json.loads(shown)))
    (part,) = LinesSource(str(path)).parts()
    knowledge, _ = read_knowledge(ROOT / "knowledge")
    read = fit_to(knowledge, "2026-06-01T00:00:00Z").batch(part.read())
    assert read.set_aside == Batch(()).set_aside
    assert [case.id for case in read.cases] == ["T-4711"]
