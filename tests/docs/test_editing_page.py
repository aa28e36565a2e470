"""The answers that the page shows can be added to the shipped knowledge as they stand."""

from faultnet.authoring.adding.addition import changes_of, new_problems
from faultnet.authoring.files import File
from faultnet.authoring.node import value_of
from faultnet.authoring.parse import parse
from faultnet.authoring.whole import whole_of
from tests.docs.pages import ROOT, boxes


def test_the_answers_shown_can_be_added():
    shown = next(box for box in boxes(ROOT / "docs/editing.md", "yaml") if box.startswith("part:"))
    node, problems = parse(File("answers", "answers", shown.encode()))
    assert not problems
    whole = whole_of(ROOT / "knowledge")
    knowledge, before = whole.judged()
    changes = changes_of("cause", value_of(node), whole, knowledge)
    assert new_problems(before, whole, changes) == ()
