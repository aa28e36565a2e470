"""The schemas: fresh, whole, as strict as the loader on form and never stricter.

Outside truth: JSON Schema 2020-12 as the library `jsonschema` reads it.
"""

import json
import re
import shutil
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from faultnet.authoring.files import File, case_files, knowledge_files, one_file
from faultnet.authoring.forms.of_section import FORMS, SAYS
from faultnet.authoring.names import SECTIONS
from faultnet.authoring.node import value_of
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import KnowledgeError
from faultnet.authoring.schema.kinds import KINDS, first_line, schema_of, text_of, words_of

ROOT = Path(__file__).parents[2]
SHIPPED = ROOT / "knowledge"
GOOD = Path(__file__).parent / "knowledge"
SOUND = [SHIPPED, *sorted(path.parent for path in (ROOT / "tests").rglob("words.yaml"))]
"""The shipped knowledge, and every small one of the tests."""
BAD = sorted((ROOT / "tests/bad_knowledge").glob("*.yaml"))
WORDS = words_of(SHIPPED)
SCHEMAS = {kind: schema_of(kind, WORDS) for kind in KINDS}
HEAD = re.compile(r"^# (stands as|problem): (.*)$", re.MULTILINE)

OF_FORM = {
    "unknown-key",
    "missing-key",
    "wrong-type",
    "unknown-word",
    "accepted-without-reason",
    "not-acceptable",
    "id-not-kebab",
    "cause-without-repair",
    "check-reveals-nothing",
    "duplicate-item",
    "probability-out-of-range",
    "number-out-of-range",
}
"""Codes of faults that can be seen without looking at another entry."""
CLOSED = {
    "unknown-value-accepted",
    "unknown-value-day",
    "unknown-value-place",
    "unknown-value-stock",
    "unknown-value-urgency",
    "unknown-value-who",
}
"""Words that are none of a closed few; other unknown values depend on other entries."""
NOT_SEEN = {
    "case-unknown-value-reading": "what a reading takes stands elsewhere",
    "number-out-of-range-infinite": "JSON has no infinity, so a schema cannot speak of it",
    "number-out-of-range-long": "read as infinity",
    "number-out-of-range-nan": "JSON has no such number",
    "number-out-of-range-reading": "ranges with a gap, each sound by itself",
    "probability-out-of-range-sum": "several numbers, each sound by itself",
}
"""Faults that a schema cannot see, with the reason."""


def kind_of(name):
    return first_line(name).rpartition("/")[2].removesuffix(".json")


def refusals(file, kind):
    node, _ = parse(file)
    return [
        error.message for error in Draft202012Validator(SCHEMAS[kind]).iter_errors(value_of(node))
    ]


def all_files(folder):
    return (*knowledge_files(folder)[0], *case_files(folder)[0])


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_is_one(kind):
    Draft202012Validator.check_schema(SCHEMAS[kind])
    for name in re.findall(r'"#/\$defs/([^"]+)"', json.dumps(SCHEMAS[kind])):
        assert name in SCHEMAS[kind]["$defs"]


@pytest.mark.parametrize("kind", KINDS)
def test_shipped_schemas_are_fresh(kind):
    shipped = (SHIPPED / f"schema/{kind}.json").read_text(encoding="utf-8")
    assert shipped == text_of(kind, WORDS), "faultnet schema --write knowledge/schema"


def test_no_other_schema_is_shipped():
    assert {path.stem for path in (SHIPPED / "schema").iterdir()} == set(KINDS)


@pytest.mark.parametrize("folder", SOUND, ids=lambda folder: folder.parent.name)
def test_sound_files_are_not_refused(folder):
    refused = {
        file.name: told
        for file in all_files(folder)
        if (told := refusals(file, kind_of(file.name)))
    }
    assert not refused


def test_every_shipped_file_names_its_schema():
    for file in all_files(SHIPPED):
        line = file.data.decode().splitlines()[0]
        assert line == first_line(file.name), file.name
        named = (SHIPPED / file.name).parent / line.partition("$schema=")[2]
        assert named.resolve() == SHIPPED / f"schema/{kind_of(file.name)}.json"
        assert named.is_file()


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("words.yaml", "# yaml-language-server: $schema=schema/words.json"),
        ("parts/tank.yaml", "# yaml-language-server: $schema=../schema/part.json"),
        ("parts/tank.cases.yaml", "# yaml-language-server: $schema=../schema/cases.json"),
        ("own.cases.yaml", "# yaml-language-server: $schema=schema/cases.json"),
        ("wrods.yaml", ""),
    ],
)
def test_first_line(name, line):
    assert first_line(name) == line


def _bad():
    for path in BAD:
        heads = HEAD.findall(path.read_text(encoding="utf-8", errors="replace"))
        place = next(text for key, text in heads if key == "stands as")
        codes = {text.split()[0] for key, text in heads if key == "problem"}
        node, _ = parse(File(place, place, path.read_bytes()))
        if node is None or not first_line(place):
            continue  # no YAML, or no knowledge file
        yield pytest.param(path, place, codes, id=path.stem)


@pytest.mark.parametrize(("path", "place", "codes"), list(_bad()))
def test_faults_of_form_are_refused_and_no_others(path, place, codes):
    refused = refusals(File(place, place, path.read_bytes()), kind_of(place))
    of_form = path.stem in CLOSED or codes & OF_FORM
    assert bool(refused) == bool(of_form and path.stem not in NOT_SEEN), refused


def _properties(schema, place=""):
    """Yield the place and schema of every key, however deep."""
    if isinstance(schema, dict):
        for name, inner in schema.get("properties", {}).items():
            yield f"{place}/{name}", inner
        for key, inner in schema.items():
            yield from _properties(inner, f"{place}/{key}")
    elif isinstance(schema, list):
        for inner in schema:
            yield from _properties(inner, place)


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_is_described(kind):
    words = {
        "is",
        "from",
        "accepted",
        "technician",
        "caller",
        "qualified",
        "specialist",
        "none",
        "wipe",
    }
    words |= {"full", "pocket", "box", "heavy"}
    for place, schema in _properties(SCHEMAS[kind]):
        if place.rpartition("/")[2] not in words:
            assert schema["description"].endswith("."), place


def test_the_page_for_authors_names_every_key():
    page = (ROOT / "docs/knowledge-files.md").read_text(encoding="utf-8")
    keys = {place.rpartition("/")[2] for s in SCHEMAS.values() for place, _ in _properties(s)}
    assert not {key for key in keys if not re.search(rf"(?<![\w-]){key}(?![\w-])", page)}


def test_every_section_has_a_form():
    assert list(FORMS) == list(SAYS) == list(SECTIONS)


def test_words_stand_with_their_numbers():
    said = SCHEMAS["part"]["$defs"]["likelihood"]
    assert {"enum": list(WORDS["likelihood"])} in said["anyOf"]
    assert "often (0.65)" in said["description"]
    cause = SCHEMAS["part"]["properties"]["causes"]["additionalProperties"]["properties"]
    assert "occasional is 0.013, rare is 0.0025." in cause["how-common"]["description"]


def test_words_of_a_folder_of_ones_own(tmp_path):
    text = (GOOD / "words.yaml").read_text().replace("often:", "mostly:")
    (tmp_path / "words.yaml").write_text(text)
    assert "mostly" in words_of(tmp_path)["likelihood"]
    (tmp_path / "words.yaml").write_text("likelihood: 3\n")
    with pytest.raises(KnowledgeError):
        words_of(tmp_path)
    shutil.rmtree(tmp_path)
    with pytest.raises(KnowledgeError):
        words_of(tmp_path)


@pytest.mark.parametrize(
    ("counts", "sound"),
    [("van-1: {pumps: 2}", True), ("van-1: 2", False), ("van-1: {a: -1}", False)],
)
def test_trucks(tmp_path, counts, sound):
    (tmp_path / "trucks.yaml").write_text(f"as-of: 2026-03-04\ntrucks:\n  {counts}\n")
    assert bool(refusals(one_file(tmp_path / "trucks.yaml"), "trucks")) != sound
