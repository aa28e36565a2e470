"""The schema of each kind of knowledge file."""

import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from faultnet.authoring.acceptance import KEY as ACCEPTED
from faultnet.authoring.acceptance import accepted_schema
from faultnet.authoring.document import kind_of
from faultnet.authoring.files import CASES, one_file
from faultnet.authoring.form import Form
from faultnet.authoring.forms.as_found import LOOK
from faultnet.authoring.forms.example import CASE
from faultnet.authoring.forms.layout import CIRCUMSTANCE, LAYOUT
from faultnet.authoring.forms.learnt import LEARNT
from faultnet.authoring.forms.of_section import FORMS, SAYS
from faultnet.authoring.forms.procedure import PROCEDURE
from faultnet.authoring.forms.rates import RATES
from faultnet.authoring.forms.region import REGION
from faultnet.authoring.forms.renamed import RENAMED
from faultnet.authoring.forms.stock import ITEM, LEAD_TIME
from faultnet.authoring.forms.system import SYSTEM
from faultnet.authoring.forms.words import SOURCE, WORDS
from faultnet.authoring.names import Names
from faultnet.authoring.parse import parse
from faultnet.authoring.problem import KnowledgeError, Problem, errors
from faultnet.authoring.schema.book import Book, Schema, mapping
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.authoring.sections import PART
from faultnet.authoring.trucks import TRUCKS
from faultnet.model.words import Words

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FOLDER = "schema"
"""The folder below the knowledge where the schemas lie."""
MARK = "# yaml-language-server: $schema="
"""How the first line of a file names its schema to an editor."""

KINDS: dict[str, str] = {
    "part": "Causes, findings, checks, repairs, set-ups and readings of one area.",
    "system": "A kind of installation: which parts, which layout.",
    "procedure": "Steps with limits and stop conditions.",
    "region": "Numbers that are others in one part of the country, or for one firm.",
    "cases": "What was seen, what should come out, and why.",
    "words": "The words for numbers, and the one number behind each.",
    "sources": "The publications that numbers and facts come from.",
    "layout": "Facts of the installation that change what a finding means.",
    "circumstances": "What happened just before.",
    "rates": "Money, and the trips of people who must be called.",
    "stock": "What can be loaded: on the truck, in the shop, to be ordered.",
    "lead-times": "What must be arranged ahead of a repair, with its hours.",
    "as-found": "What is looked at on arrival, before anything is touched.",
    "learnt": "Which closed cases numbers were learnt from; `faultnet learn` writes it.",
    "renamed": "What entries and answers were called before, so that old cases can be read.",
    "trucks": "What is on which truck now; the office keeps it.",
}
"""Kinds of files to what they hold."""

_LISTS: dict[str, Form[Any]] = {
    "sources": SOURCE,
    "layout": LAYOUT,
    "circumstances": CIRCUMSTANCE,
    "stock": ITEM,
    "lead-times": LEAD_TIME,
    "as-found": LOOK,
}
_WHOLE: dict[str, Form[Any]] = {
    "system": SYSTEM,
    "procedure": PROCEDURE,
    "region": REGION,
    "learnt": LEARNT,
    "words": WORDS,
    "rates": RATES,
    "renamed": RENAMED,
    "trucks": TRUCKS,
}


_WITH_ID = ("system", "procedure")
"""Files that are one entry with an id."""


def schema_of(kind: str, words: Mapping[str, Mapping[str, float]]) -> Schema:
    """Return the schema of a kind of file; ``words`` are the words by table with their numbers."""
    book = Book(words)
    top = _top(kind, book)
    head = {"$schema": DIALECT, "title": f"faultnet: {kind}", "description": KINDS[kind]}
    return {**head, **top, "$defs": dict(sorted(book.pieces.items()))}


def text_of(kind: str, words: Mapping[str, Mapping[str, float]]) -> str:
    """Return the schema as it stands in its file."""
    return json.dumps(schema_of(kind, words), indent=1, ensure_ascii=False) + "\n"


def words_of(folder: Path) -> dict[str, dict[str, float]]:
    """Return the words of a knowledge folder; raise KnowledgeError when they cannot be read."""
    file = one_file(folder / "words.yaml")
    if isinstance(file, Problem):
        raise KnowledgeError((file,))
    node, problems = parse(file)
    told = list(problems)
    nameless = Names({}, {}, {}, {}, whole=False)
    words = WORDS.read(node, Scope(nameless, Vocabulary({}), told)) if node else None
    if words is None or errors(told):
        raise KnowledgeError(tuple(told))
    return _numbers(words)


def first_line(name: str) -> str:
    """Return the first line of a file by its path below the folder; empty where no kind fits."""
    path = PurePosixPath(name)
    kind = "cases" if name.endswith(CASES) else kind_of(path)
    return f"{MARK}{'../' * (len(path.parts) - 1)}{FOLDER}/{kind}.json" if kind else ""


def _numbers(words: Words) -> dict[str, dict[str, float]]:
    tables = {"likelihood": words.likelihood, "how-common": words.how_common}
    return {name: {w: n.value for w, n in table.items()} for name, table in tables.items()}


def _top(kind: str, book: Book) -> Schema:
    if kind == "part":
        return _part(book)
    if kind == "cases":
        cases = {"type": "array", "items": CASE.schema(book)}
        return _only(kind, cases, book)
    if kind in _LISTS:
        return _only(
            kind, book.by_name(_accepting(_LISTS[kind].schema(book), book), without_from=True), book
        )
    whole = _WHOLE[kind].schema(book)
    return _accepting(whole, book) if kind in _WITH_ID else whole


def _only(key: str, value: Schema, book: Book) -> Schema:
    said = {"description": KINDS[key], **value}
    return mapping({key: said, "from": book.provenance()}, (key,) if key == "cases" else ())


def _part(book: Book) -> Schema:
    head = _accepting(PART.schema(book), book)
    sections = {
        name: {
            "description": SAYS[name],
            **book.by_name(_accepting(form.schema(book), book), without_from=True),
        }
        for name, form in FORMS.items()
    }
    return {**head, "properties": {**head["properties"], **sections}}


def _accepting(entry: Schema, book: Book) -> Schema:
    """Return the schema of an entry that may accept warnings."""
    return {**entry, "properties": {**entry["properties"], ACCEPTED: accepted_schema(book)}}
