"""Whatever a file holds, reading it never crashes, and always tells why it was refused."""

import random
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet.authoring.acceptance import sift
from faultnet.authoring.examples import read_examples
from faultnet.authoring.files import File
from faultnet.authoring.library import knowledge_of, read_knowledge
from faultnet.authoring.lint import lint
from faultnet.authoring.render import as_json, as_text

GOOD = Path(__file__).parent / "knowledge"
NAMES = sorted(path.relative_to(GOOD).as_posix() for path in GOOD.rglob("*.yaml"))
CASES = "parts/suction.cases.yaml"
TEXTS = {name: (GOOD / name).read_bytes() for name in NAMES}
WORDS = sorted({word for text in TEXTS.values() for word in text.split()})
PIECES = [
    b"", b"[", b"]", b"{", b"}", b": ", b"- ", b"&a", b"*a", b"!!int", b"---\n", b"\t", b"'", b'"',
    b"null", b"~", b"true", b".nan", b"-.inf", b"1e999", b"-1", b"010", b"yes", b"\n", b"  ",
    b"|\n", b"\x00", b"\xff", b"\xef\xbb\xbf", b"<<: ", b"? ", b"9" * 400, b"x" * 2000,
    "é☃".encode(), b"#", b"accepted: {repair-without-proof: It is so here.}\n", b"!? " * 2000,
]  # fmt: skip


def read(name: str, data: bytes) -> None:
    """Read good knowledge in which one file is put in the place of another."""
    if name == CASES:
        read_cases(data)
        return
    files = tuple(
        File(each, f"knowledge/{each}", data if each == name else text)
        for each, text in {**TEXTS, name: data}.items()
        if each != CASES
    )
    knowledge, problems = knowledge_of(files, (), "knowledge")
    as_text(problems).encode()
    assert len(as_json(problems)) == len(problems)
    if knowledge is None:
        assert any(each.severity == "error" for each in problems)
        assert all(each.message and each.line >= 0 and each.column >= 0 for each in problems)
    else:
        sift(lint(knowledge, ()), knowledge.accepted)


def read_cases(data: bytes) -> None:
    knowledge, _ = read_knowledge(GOOD)
    assert knowledge is not None
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "any.cases.yaml").write_bytes(data)
        examples, problems = read_examples(Path(folder), knowledge)
    assert examples or problems or data.count(b"[]")
    lint(knowledge, examples)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(NAMES), st.binary(max_size=200))
def test_any_bytes(name: str, data: bytes) -> None:
    read(name, data)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(NAMES), st.text(max_size=200))
def test_any_text(name: str, text: str) -> None:
    read(name, text.encode("utf-8", "replace"))


def changed(data: bytes, chance: random.Random) -> bytes:
    """Return a text with a few words or pieces of it put elsewhere, lost or replaced."""
    for _ in range(chance.randint(1, 4)):
        start = chance.randrange(len(data) + 1)
        end = min(len(data), start + chance.choice((0, 0, 1, 3, 10, 60)))
        pieces = (chance.choice(PIECES), chance.choice(WORDS), data[start:end] * 2)
        data = data[:start] + chance.choice(pieces) + data[end:]
    return data


def lines_changed(data: bytes, chance: random.Random) -> bytes:
    """Return a text in which a value, a line or an indent is another."""
    lines = data.split(b"\n")
    for _ in range(chance.randint(1, 3)):
        place = chance.randrange(len(lines))
        key, colon, _ = lines[place].partition(b":")
        lines[place] = chance.choice(
            (
                key + colon + b" " + chance.choice(PIECES + WORDS),
                b" " * chance.randint(0, 8) + lines[place].lstrip(),
                chance.choice(lines),
                b"",
            )
        )
    return b"\n".join(lines)


@pytest.mark.parametrize("change", [changed, lines_changed])
@settings(max_examples=400, deadline=None)
@given(name=st.sampled_from(NAMES), seed=st.integers(0, 2**32))
def test_any_change_of_a_good_file(change: object, name: str, seed: int) -> None:
    assert callable(change)
    read(name, change(TEXTS[name], random.Random(seed)))
