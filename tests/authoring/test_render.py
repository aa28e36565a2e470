"""Problems for a terminal and as JSON."""

import json

from faultnet.authoring.problem import in_order, problem, warning
from faultnet.authoring.render import as_json, as_text
from faultnet.model.origin import Origin

LINE = problem("unknown-id", Origin("knowledge/parts/a.yaml", 12, 5), "There is no x.",
               "Did you mean `y`?", entity="some-cause")  # fmt: skip
FILE = warning("how-common-sum", "", Origin("knowledge/b.yaml", 0, 0), "Too many.", "")


def test_as_text() -> None:
    assert as_text((LINE, FILE)) == (
        "knowledge/parts/a.yaml:12:5: error [unknown-id] some-cause: There is no x.\n"
        "    Did you mean `y`?\n"
        "knowledge/b.yaml: warning [how-common-sum] Too many."
    )
    assert as_text(()) == ""


def test_as_json() -> None:
    assert json.loads(json.dumps(as_json((LINE,)))) == [
        {
            "severity": "error",
            "code": "unknown-id",
            "file": "knowledge/parts/a.yaml",
            "line": 12,
            "column": 5,
            "entity": "some-cause",
            "message": "There is no x.",
            "hint": "Did you mean `y`?",
        }
    ]


def test_order_is_by_file_then_place_and_equal_ones_stand_once() -> None:
    later = problem("syntax", Origin("knowledge/parts/a.yaml", 12, 6), "Later.")
    assert in_order((later, LINE, FILE, LINE)) == (FILE, LINE, later)
