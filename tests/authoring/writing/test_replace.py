"""A value is replaced where it stands, and nothing else changes."""

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet.authoring.library import read_knowledge
from faultnet.authoring.node import Mapping, Sequence, value_of
from faultnet.authoring.writing.insert import _told, read
from faultnet.authoring.writing.replace import replace_number, replace_scalar
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.model.origin import Number, Origin
from tests.authoring.writing.texts import texts

QUICK = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def scalars(node):
    """Yield the single values of a node."""
    if isinstance(node, Mapping):
        for entry in node.entries.values():
            yield from scalars(entry.node)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from scalars(item)
    else:
        yield node


def around(old, new):
    """Return how many letters of two texts are alike at the front and at the end."""
    front = next((i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), None)
    front = min(len(old), len(new)) if front is None else front
    back = 0
    while back < min(len(old), len(new)) - front and old[-1 - back] == new[-1 - back]:
        back += 1
    return front, back


def span(body, origin):
    """Return where a value begins and ends, as libyaml has it."""
    for event in yaml.parse(body, yaml.CSafeLoader):
        mark = event.start_mark
        is_value = isinstance(event, yaml.ScalarEvent)
        if is_value and (mark.line + 1, mark.column + 1) == (origin.line, origin.column):
            return mark.index, event.end_mark.index
    raise AssertionError(origin)


@QUICK
@given(texts(), st.text(max_size=40) | st.floats(0, 1), st.data())
def test_any_value_anywhere(text, new, data):
    body = text.removeprefix("\ufeff")
    nodes = list(scalars(read(body)))
    if not nodes:
        return
    chosen = data.draw(st.sampled_from(nodes))
    after = replace_scalar(text, chosen.origin, new)
    before = [_told(each.value) for each in nodes]
    before[nodes.index(chosen)] = _told(new)
    assert [_told(each.value) for each in scalars(read(after.removeprefix("\ufeff")))] == before
    front, back = around(text, after)
    start, end = (len(text) - len(body) + at for at in span(body, chosen.origin))
    assert front >= start
    assert len(text) - back <= max(front, end)


TEXT = """\
from: judgement   # all of it
causes:
  a: {how-common: 0.02, shows: {x: often, y: {is: 0.3, from: memory}}}  # a
  b:
    how-common: {is: rare}
    shows:
      x:
        is: 0.1   # counted
      y: 'often'
"""
MINE = ("judgement",)


def number(line, column, provenance=MINE):
    return Number(0.0, Origin("x.yaml", line, column), provenance)


@pytest.mark.parametrize(
    ("at", "new", "provenance", "old", "then"),
    [
        (number(3, 19), 0.03, MINE, "how-common: 0.02", "how-common: 0.03"),
        (number(3, 19), 0.03, ("practice",), "0.02", "{is: 0.03, from: practice}"),
        (number(3, 36), 0.5, MINE, "{x: often", "{x: 0.5"),
        (number(3, 51, ("memory",)), 0.25, ("a", "b"), "0.3, from: memory", "0.25, from: [a, b]"),
        (number(5, 22), "common", ("practice",), "{is: rare}", "{is: common, from: practice}"),
        (
            number(8, 13),
            0.2,
            ("practice",),
            "0.1   # counted",
            "0.2   # counted\n        from: practice",
        ),
        (number(9, 10), "rarely", MINE, "'often'", "rarely"),
    ],
)
def test_a_number_with_where_it_comes_from(at, new, provenance, old, then):
    assert replace_number(TEXT, at, new, provenance) == TEXT.replace(old, then, 1)


@pytest.mark.parametrize("place", [(3, 18), (2, 1), (3, 6), (99, 1)])
def test_no_single_value_there(place):
    with pytest.raises(CannotWriteHereError):
        replace_scalar(TEXT, Origin("x.yaml", *place), 1)


def test_numbers_of_loaded_knowledge_are_found_where_they_stand(folder):
    knowledge, _ = read_knowledge(folder)
    path = folder / "parts/suction.yaml"
    for cause in list(knowledge.causes.values()):
        text = path.read_text()
        path.write_text(replace_number(text, cause.how_common, 0.125, ("practice",)))
        knowledge, problems = read_knowledge(folder)
        assert not problems
        now = knowledge.causes[cause.id].how_common
        assert (now.value, now.provenance) == (0.125, ("practice",))
    assert value_of(read(path.read_text()))["part"] == "suction"
