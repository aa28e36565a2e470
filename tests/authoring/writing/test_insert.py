"""An addition leaves every other letter as it is, and says the old and the new, no more."""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from faultnet.authoring.node import value_of
from faultnet.authoring.writing.insert import _told, append, insert, read
from faultnet.authoring.writing.spot import CannotWriteHereError
from tests.authoring.writing.texts import texts

WORDS = st.text(max_size=130) | st.sampled_from(
    ["no", "yes", "0.3", "true", "a: b", "- x", "word " * 40]
)
PLAIN = WORDS | st.integers(-9, 9) | st.floats(0, 1)
KEYS = st.sampled_from(["new", "shows", "a-key", "115"])
VALUES = st.recursive(
    PLAIN,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=6,
)
QUICK = settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def held(text):
    return value_of(read(text.removeprefix("\ufeff")))


def open_ended(text):
    """Tell whether one more line break at the end would change what the text says."""
    return _told(held(text)) != _told(held(text + "\n"))


def paths(value, path=()):
    """Yield the paths to the mappings of a value."""
    if isinstance(value, dict):
        yield path
        for key, inner in value.items():
            yield from paths(inner, (*path, key))


def one_piece_more(old, new):
    """Tell whether the new text is the old with something put in at one place."""
    more = len(new) - len(old)
    return more > 0 and any(
        new[:at] == old[:at] and new[at + more :] == old[at:] for at in range(len(old) + 1)
    )


@QUICK
@given(texts(), VALUES, st.data())
def test_an_addition_leaves_the_rest_alone(text, value, data):
    before = held(text)
    path = data.draw(st.sampled_from(list(paths(before))))
    more = data.draw(st.sampled_from([(), ("made-for-it",), ("made", "deeper")]))
    assume(not open_ended(text))
    after = insert(text, (*path, *more), "quite-new", value)
    assert one_piece_more(text, after)
    wanted = before
    for name in (*path, *more):
        wanted = wanted.setdefault(name, {})
    wanted["quite-new"] = value
    assert _told(held(after)) == _told(before)


@QUICK
@given(texts(), VALUES, st.data())
def test_an_item_leaves_the_rest_alone(text, value, data):
    before = held(text)
    lists = [
        (*path, key)
        for path in paths(before)
        for key, inner in _at(before, path).items()
        if isinstance(inner, list)
    ]
    path = data.draw(st.sampled_from([*lists, ("quite-new",)]))
    assume(not open_ended(text))
    after = append(text, path, value)
    assert one_piece_more(text, after)
    _at(before, path[:-1]).setdefault(path[-1], []).append(value)
    assert _told(held(after)) == _told(before)


def _at(value, path):
    for name in path:
        value = value[name]
    return value


SHORT = """\
part: tank   # the head
causes:

    # The shell.

    shell-rusts:
        title: "Shell rusts"
        shows: {tank-weeps: often}  # seen

    shell-cracks:
        title: Shell cracks
        # a last remark
    # and one on what comes

# Findings.
findings: {}
"""


def test_it_looks_like_what_is_there():
    after = insert(
        SHORT, ("causes",), "shell-bends", {"title": "Shell: bends", "shows": {"a": 0.5}}
    )
    added = """\

    shell-bends:
        title: "Shell: bends"
        shows:
            a: 0.5
"""
    assert after == SHORT.replace("what comes\n", "what comes\n" + added)


def test_in_braces():
    after = insert(SHORT, ("causes", "shell-rusts", "shows"), "no-water", "rarely")
    assert after == SHORT.replace("often}", "often, no-water: rarely}")
    after = insert(SHORT, ("findings",), "x", {"title": "X, or so"})
    assert after == SHORT.replace("findings: {}", 'findings: {x: {title: "X, or so"}}')


def test_a_section_that_is_missing():
    after = insert(SHORT, ("repairs",), "weld", {"title": "Weld"})
    assert after == SHORT + "\nrepairs:\n    weld:\n        title: Weld\n"


@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
def test_no_break_at_the_end(line_break):
    text = SHORT.rstrip().replace("\n", line_break)
    after = insert(text, ("repairs",), "weld", {"title": "Weld"})
    added = ["", "", "repairs:", "    weld:", "        title: Weld"]
    assert after == text + line_break.join(added)


@pytest.mark.parametrize(
    ("text", "path", "key"),
    [
        (SHORT, ("causes",), "shell-rusts"),
        (SHORT, ("causes", "shell-rusts", "title"), "x"),
        (SHORT, ("part",), "x"),
        ("- a\n", ("causes",), "x"),
        ("a: [1\n", ("causes",), "x"),
        ("a: &b 1\n", (), "x"),
        ("", (), "x"),
        ("causes:\n", ("causes",), "x"),
    ],
)
def test_refused(text, path, key):
    with pytest.raises(CannotWriteHereError):
        insert(text, path, key, "y")


def test_not_a_list():
    with pytest.raises(CannotWriteHereError):
        append(SHORT, ("causes",), "y")
