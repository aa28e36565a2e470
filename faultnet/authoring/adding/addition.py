"""An addition as answers, and the files with it."""

from collections.abc import Iterator, Mapping

from faultnet.authoring.files import CASES
from faultnet.authoring.names import SECTIONS
from faultnet.authoring.nearest import did_you_mean
from faultnet.authoring.node import Value, value_of
from faultnet.authoring.problem import Problem
from faultnet.authoring.schema.kinds import first_line
from faultnet.authoring.whole import Whole
from faultnet.authoring.writing.change import Change
from faultnet.authoring.writing.insert import MARK, Path, append, insert, read
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.authoring.writing.written import STEP, entry
from faultnet.model.knowledge import Knowledge

KINDS = {"cause": "causes", "finding": "findings", "check": "checks"}
"""What can be added, with its section."""
Answers = dict[str, Value]
"""`part`, `id`, the keys of the entry, and what is added with it.

With it: ``findings``, ``repairs``, ``checks`` and ``set-ups``, new entries by id;
``looked-for-by``, checks with the strength of their look for the cause; ``shown-by``, causes
with the strength they bring the finding with; ``revealed-by``, checks that reveal the finding;
``cases``.
"""
_ENTRIES = ("findings", "repairs", "checks", "set-ups")
_LINKS = {"looked-for-by": ("checks", "looks-for"), "shown-by": ("causes", "shows")}
_WITH_IT = (*_ENTRIES, *_LINKS, "revealed-by", "cases", "part", "id")
_Piece = tuple[str, Path, str, Value]
"""File, path, key (empty for an item of a list), value."""


class UnfitAnswersError(Exception):
    """An answer that nothing can be made of; the message says which and why."""


def entry_of(answers: Answers) -> dict[str, Value]:
    """Return the entry itself."""
    return {key: value for key, value in answers.items() if key not in _WITH_IT}


def changes_of(
    kind: str, answers: Answers, whole: Whole, knowledge: Knowledge
) -> tuple[Change, ...]:
    """Return the files with the addition.

    Raises ``UnfitAnswersError``, and ``CannotWriteHereError`` where a file is laid out so that
    it cannot be added to.
    """
    texts: dict[str, str] = {}
    for name, path, key, value in _pieces(kind, answers, knowledge):
        try:
            texts[name] = _added(texts.get(name) or _text(whole, name), name, path, key, value)
        except CannotWriteHereError as error:
            raise CannotWriteHereError(f"{whole.shown}/{name}: {error}") from error
    return tuple(Change(name, whole.bytes_of(name), text.encode()) for name, text in texts.items())


def new_problems(
    before: tuple[Problem, ...], whole: Whole, changes: tuple[Change, ...]
) -> tuple[Problem, ...]:
    """Return what the loader and `lint` tell of the files as changed and did not tell before."""
    _, after = whole.having({each.name: each.after for each in changes}).judged()
    known = {(each.code, each.entity) for each in before}
    return tuple(each for each in after if (each.code, each.entity) not in known)


def _text(whole: Whole, name: str) -> str:
    data = whole.bytes_of(name)
    return "" if data is None else data.decode("utf-8")


def _added(text: str, name: str, path: Path, key: str, value: Value) -> str:
    if not text:
        return "\n".join([first_line(name), *entry(path[0], [value], 0, STEP), ""])
    if not key:
        return append(text, path, value)
    return insert(text, path, key, _without_same_from(text, value))


def _without_same_from(text: str, value: Value) -> Value:
    """Return an entry without the `from` that the top of its file has already."""
    top = value_of(read(text.removeprefix(MARK)))
    if isinstance(value, dict) and isinstance(top, dict) and value.get("from") == top.get("from"):
        return {key: each for key, each in value.items() if key != "from"}
    return value


def _pieces(kind: str, answers: Answers, knowledge: Knowledge) -> Iterator[_Piece]:
    part, name = _word(answers, "part"), _word(answers, "id")
    if part not in knowledge.parts:
        raise UnfitAnswersError(
            f"There is no part `{part[:40]}`. {did_you_mean(part, knowledge.parts)}"
        )
    file = f"parts/{part}.yaml"
    yield file, (KINDS[kind],), name, entry_of(answers)
    for section in _ENTRIES:
        for new, inner in _mapping(answers, section).items():
            yield file, (section,), new, inner
    for key, (section, inside) in _LINKS.items():
        for other, often in _mapping(answers, key).items():
            yield _file_of(section, other, knowledge), (section, other, inside), name, often
    for each in _list(answers, "revealed-by"):
        check = str(each)
        yield _file_of("checks", check, knowledge), ("checks", check, "reveals"), "", name
    for case in _list(answers, "cases"):
        yield f"parts/{part}{CASES}", ("cases",), "", case


def _file_of(section: str, name: str, knowledge: Knowledge) -> str:
    entries = knowledge.checks if section == "checks" else knowledge.causes
    if name not in entries:
        told = f"There is no {SECTIONS[section]} `{name[:60]}`."
        raise UnfitAnswersError(f"{told} {did_you_mean(name, entries)}".strip())
    return f"parts/{entries[name].part}.yaml"


def _word(answers: Answers, key: str) -> str:
    value = answers.get(key)
    if not isinstance(value, (str, int)) or not str(value):
        raise UnfitAnswersError(f"The answer `{key}` is missing: write `{key}: ...`.")
    return str(value)


def _mapping(answers: Answers, key: str) -> Mapping[str, Value]:
    value = answers.get(key, {})
    if not isinstance(value, dict):
        raise UnfitAnswersError(f"The answer `{key}` wants names with values below it.")
    return value


def _list(answers: Answers, key: str) -> list[Value]:
    value = answers.get(key, [])
    return value if isinstance(value, list) else [value]
