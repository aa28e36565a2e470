"""One text to positioned values."""

from pathlib import Path

import pytest
import yaml

from faultnet.authoring.files import File
from faultnet.authoring.node import Mapping, Node, Scalar, Sequence
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import Problem

GOOD = Path(__file__).parent / "knowledge"
SHIPPED = Path(__file__).parents[2] / "knowledge"
FILES = sorted((*GOOD.rglob("*.yaml"), *SHIPPED.rglob("*.yaml")))


def read(text: str | bytes) -> tuple[Node | None, tuple[Problem, ...]]:
    data = text if isinstance(text, bytes) else text.encode()
    return parse(File("parts/x.yaml", "knowledge/parts/x.yaml", data))


def codes(text: str | bytes) -> list[str]:
    return [f"{each.code} {each.line}:{each.column}" for each in read(text)[1]]


def test_every_value_knows_its_place() -> None:
    node, problems = read("a: 1\nlist:\n  - no\n  - {b: 'no', ç: 1e-3}\n")
    assert problems == ()
    assert isinstance(node, Mapping)
    listed = node.entries["list"].node
    assert isinstance(listed, Sequence)
    first, second = listed.items
    assert isinstance(first, Scalar)
    assert (first.value, first.origin.line, first.origin.column) == ("no", 3, 5)
    assert isinstance(second, Mapping)
    last = second.entries["ç"]
    assert isinstance(last.node, Scalar)
    assert str(last.origin) == "knowledge/parts/x.yaml:4:15"
    assert last.node.value == 0.001


def test_quoted_text_is_text() -> None:
    node, _ = read("a: '010'\nb: \"true\"\nc: |\n  3\n")
    assert isinstance(node, Mapping)
    values = [each.node.value for each in node.entries.values() if isinstance(each.node, Scalar)]
    assert values == ["010", "true", "3\n"]


def test_all_equal_keys_are_told_in_one_run() -> None:
    assert codes("a: 1\nb: {c: 1, c: 2}\na: 2\na: 3\n") == [
        "duplicate-key 2:11", "duplicate-key 3:1", "duplicate-key 4:1",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x 1\nb: *x\n", "alias-refused 1:4"),
        ("a: *x\n", "alias-refused 1:4"),
        ("a: ! 1\n", "tag-refused 1:4"),
        ("a: !!set {}\n", "tag-refused 1:4"),
        ("%TAG ! tag:x,2000:\n---\na: 1\n---\nb: 2\n", "second-document 4:1"),
        ("? [a, b]\n: 1\n", "wrong-type 1:3"),
        ("'': 1\n", "wrong-type 1:1"),
        ("a: [1, 2\n", "syntax 2:1"),
        ("a: 'x\n", "syntax 2:1"),
        ("a:\n\tb: 1\n", "syntax 2:1"),
        ("a: @x\n", "syntax 1:4"),
        ("", "empty-file 1:1"),
        ("# remark\n\n", "empty-file 1:1"),
        (b"a: \xff\n", "not-utf-8 1:4"),
        (b"a: 1\nb: \xe9t\xe9\n", "not-utf-8 2:4"),
        ("a: 1\n".encode("utf-16"), "not-utf-8 1:1"),
        (b"a: \x00\n", "not-text 1:4"),
        (b"a: \x1b[0m\n", "not-text 1:4"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not-text 3:1"),
    ],
)
def test_what_is_refused(text: str | bytes, expected: str) -> None:
    assert codes(text) == [expected]
    if not isinstance(text, str) or "a: 1\n---" not in text:
        assert read(text)[0] is None


def test_a_laughing_file_costs_nothing() -> None:
    """Nested aliases would grow to a billion entries; the first one stops the reading."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 12)]
    assert codes("\n".join(lines)) == ["alias-refused 1:5"]


def test_a_byte_order_mark_is_passed_over() -> None:
    node, problems = read(b"\xef\xbb\xbfa: 1\n")
    assert problems == ()
    assert isinstance(node, Mapping)
    assert list(node.entries) == ["a"]


def test_windows_line_ends_count_as_lines() -> None:
    assert codes("a: 1\r\na: 2\r\n") == ["duplicate-key 2:1"]


def texts_of(node: Node) -> object:
    """Return texts and places of a node, as nested lists."""
    if isinstance(node, Scalar):
        return node.text, node.origin.line, node.origin.column
    if isinstance(node, Sequence):
        return [texts_of(item) for item in node.items]
    return [
        [(key, entry.origin.line, entry.origin.column), texts_of(entry.node)]
        for key, entry in node.entries.items()
    ]


def texts_by_library(node: yaml.Node) -> object:
    """Return the same of a node that PyYAML composed in pure Python."""
    if isinstance(node, yaml.ScalarNode):
        return node.value, node.start_mark.line + 1, node.start_mark.column + 1
    if isinstance(node, yaml.SequenceNode):
        return [texts_by_library(item) for item in node.value]
    return [[texts_by_library(key), texts_by_library(value)] for key, value in node.value]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_same_texts_at_the_same_places_as_the_reference_library(path: Path) -> None:
    """Reference: PyYAML's own composer (pure Python), which knows nothing of this reader."""
    node, problems = read(path.read_bytes())
    assert problems == ()
    assert node is not None
    composed = yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    assert composed is not None
    assert texts_of(node) == texts_by_library(composed)
