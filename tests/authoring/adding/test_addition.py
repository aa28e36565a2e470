"""An addition loads as the old knowledge and the entry, and leaves every other byte as it was."""

import msgspec
import pytest

from faultnet.authoring.adding.addition import UnfitAnswersError, changes_of, new_problems
from faultnet.authoring.files import File
from faultnet.authoring.node import value_of
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import errors
from faultnet.authoring.whole import whole_of
from faultnet.authoring.writing.spot import CannotWriteHereError
from tests.authoring.adding.answers import CAUSE, CHECK, FINDING

PART = "parts/suction.yaml"
CASES = "parts/suction.cases.yaml"
MANNERS = {
    "as it is": lambda data: data,
    "CRLF": lambda data: data.replace(b"\n", b"\r\n"),
    "no break at the end": lambda data: data.rstrip(),
    "byte order mark": lambda data: b"\xef\xbb\xbf" + data,
    "remarks": lambda data: data.replace(b"\n\n", b"\n\n# a remark\n\n") + b"\n# the end\n",
}


def answers(text):
    node, problems = parse(File("answers", "answers", text.encode()))
    assert not problems
    return value_of(node)


def added(folder, kind, text):
    whole = whole_of(folder)
    knowledge, before = whole.judged()
    assert not errors(before)
    changes = changes_of(kind, answers(text), whole, knowledge)
    after, _ = whole.having({each.name: each.after for each in changes}).judged()
    return knowledge, changes, after, new_problems(before, whole, changes)


def told(value):
    """Return what a value of the model says, without places."""
    plain = msgspec.to_builtins(value)

    def bare(inner):
        if isinstance(inner, dict):
            return {
                key: bare(each) for key, each in inner.items() if key not in ("origin", "version")
            }
        return [bare(each) for each in inner] if isinstance(inner, list | tuple) else inner

    return bare(plain)


def only_more(old, new):
    """Tell whether all lines of the old stand in the new in their order, to the byte."""
    left = iter(new.splitlines(keepends=True))
    lines = old.splitlines(keepends=True)
    return all(any(line.rstrip(b"\r\n") == each.rstrip(b"\r\n") for each in left) for line in lines)


@pytest.mark.parametrize("manner", MANNERS.values(), ids=MANNERS)
def test_a_cause_with_all_that_belongs_to_it(folder, manner):
    for name in (PART, CASES):
        (folder / name).write_bytes(manner((folder / name).read_bytes()))
    before, changes, after, problems = added(folder, "cause", CAUSE)
    assert problems == ()
    for change in changes:
        assert only_more(change.before, change.after)
        assert change.after.endswith(b"\n") == change.before.endswith(b"\n") or change.name == CASES
        assert (b"\r\n" in change.after) == (b"\r\n" in change.before)
        if b"\r\n" in change.after:
            assert change.after.count(b"\n") == change.after.count(b"\r\n")
    old, new = told(before), told(after)
    cause = new["causes"].pop("strainer-clogged")
    assert cause["how_common"]["provenance"] == ["practice"]
    assert [each["finding"] for each in cause["shows"]][:2] == ["no-pressure", "prime-falls"]
    assert new["repairs"].pop("clean-strainer")["title"] == "Clean the strainer"
    assert new["findings"].pop("found-strainer-clogged")["found_cause"] == "strainer-clogged"
    assert new["checks"]["hold-test"]["reveals"].pop() == "found-strainer-clogged"
    assert new == old


def test_a_finding(folder):
    before, _, after, problems = added(folder, "finding", FINDING)
    assert problems == ()
    old, new = told(before), told(after)
    assert new["findings"].pop("gravel-noise")["words"] == ["rattles", "stones"]
    (link,) = (x for x in new["causes"]["pipe-cracked"]["shows"] if x["finding"] == "gravel-noise")
    new["causes"]["pipe-cracked"]["shows"].remove(link)
    assert "gravel-noise" in new["checks"]["hold-test"]["reveals"]
    new["checks"]["hold-test"]["reveals"].remove("gravel-noise")
    assert new == old


def test_a_check(folder):
    _, (change,), after, problems = added(folder, "check", CHECK)
    assert problems == ()
    assert "look-at-the-pipe" in after.checks
    assert only_more(change.before, change.after)


def test_the_first_case_of_a_part_gets_a_file(folder):
    (folder / CASES).unlink()
    _, changes, _, problems = added(folder, "cause", CAUSE)
    (case,) = (each for each in changes if each.name == CASES)
    assert case.before is None
    assert case.after.startswith(b"# yaml-language-server: $schema=../schema/cases.json\ncases:\n")
    assert {each.code for each in problems} <= {"cause-without-case"}


def test_what_the_file_says_already_is_not_said_again(folder):
    _, changes, *_ = added(folder, "cause", CAUSE.replace("from: practice", "from: judgement"))
    assert changes[0].after.count(b"from: judgement") == changes[0].before.count(b"from: judgement")


def test_problems_that_come_with_it(folder):
    *_, problems = added(folder, "cause", CAUSE.replace("rare", "seldom").replace("often", "oftn"))
    assert {each.code for each in problems} == {"unknown-word"}
    assert {each.entity for each in problems} == {"strainer-clogged"}


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("part: suction", "part: sucton", "Did you mean `suction`"),
        ("id: strainer-clogged", "no-id: x", "`id` is missing"),
        ("{hold-test: sometimes}", "{hold-tst: sometimes}", "Did you mean `hold-test`"),
        ("{hold-test: sometimes}", "often", "`looked-for-by` wants names"),
    ],
)
def test_unfit_answers(folder, old, new, said):
    with pytest.raises(UnfitAnswersError, match=said):
        added(folder, "cause", CAUSE.replace(old, new))


def test_an_id_that_is_taken(folder):
    with pytest.raises(CannotWriteHereError, match="stands there already"):
        added(folder, "cause", CAUSE.replace("id: strainer-clogged", "id: prime-lost"))
