"""Build: every entry of every document read into the model."""

from collections.abc import Iterator
from typing import Any, TypeVar

import msgspec

from faultnet.authoring.acceptance import without_accepted
from faultnet.authoring.document import Document
from faultnet.authoring.form import Form
from faultnet.authoring.forms.as_found import read_look
from faultnet.authoring.forms.layout import CIRCUMSTANCE, LAYOUT
from faultnet.authoring.forms.learnt import read_learnt
from faultnet.authoring.forms.procedure import read_procedure
from faultnet.authoring.forms.rates import RATES
from faultnet.authoring.forms.region import read_region
from faultnet.authoring.forms.renamed import RENAMED
from faultnet.authoring.forms.stock import ITEM, LEAD_TIME
from faultnet.authoring.forms.system import read_system
from faultnet.authoring.forms.words import SOURCE, WORDS
from faultnet.authoring.found import with_found
from faultnet.authoring.names import Names
from faultnet.authoring.node import Mapping, Node, Scalar
from faultnet.authoring.number import AMOUNT, PROBABILITY
from faultnet.authoring.problem import Problem, problem
from faultnet.authoring.scope import Scope, Vocabulary
from faultnet.authoring.sections import Read, only_keys, read_sections, section_entries
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Origin
from faultnet.model.procedure import Procedure
from faultnet.model.rates import Rates
from faultnet.model.reading import Reading
from faultnet.model.renamed import Renamed
from faultnet.model.words import Words

T = TypeVar("T")

_NONE = PROBABILITY.stand_in
_NO_WORDS = Words({}, {}, {}, repair_succeeds=_NONE, look_false_alarm=_NONE)
_NO_RATES = Rates(
    currency="",
    labour_per_hour=AMOUNT.stand_in,
    trip=AMOUNT.stand_in,
    second_trip=AMOUNT.stand_in,
    waiting_share=_NONE,
    calls={},
    disinfection={},
)


def build(
    documents: tuple[Document, ...], names: Names, folder: str, version: str
) -> tuple[Knowledge, tuple[Problem, ...]]:
    """Return the knowledge, with stand-ins for what was refused, and the problems."""
    told: list[Problem] = []
    wordless = Scope(names, Vocabulary({}, known=False), told)
    words = _single("words", WORDS, documents, wordless, folder)
    rates = _single("rates", RATES, documents, wordless, folder)
    scope = Scope(names, _vocabulary(words), told)
    words = words or _NO_WORDS
    layouts = _list("layout", LAYOUT, documents, scope)
    circumstances = _list("circumstances", CIRCUMSTANCE, documents, scope)
    found = read_sections(documents, scope, words)
    causes, findings, checks = with_found(found, names, words)
    systems = (
        read_system(top, layouts, circumstances, about)
        for top, about in _tops("system", documents, scope)
    )
    regions = (
        read_region(document.top, document.stem, scope.about(document.stem))
        for document in documents
        if document.kind == "region"
    )
    learnt = (
        read_learnt(top, about.entity, about) for top, about in _tops("learnt", documents, scope)
    )
    knowledge = Knowledge(
        version=version,
        words=words,
        rates=rates or _NO_RATES,
        sources=_list("sources", SOURCE, documents, scope),
        layouts=layouts,
        circumstances=circumstances,
        parts=found.parts,
        causes=causes,
        findings=findings,
        checks=checks,
        repairs=found.repairs,
        set_ups=found.set_ups,
        readings=found.readings,
        look_alikes=found.look_alikes,
        procedures=_procedures(documents, scope, found.readings),
        systems={each.id: each for each in systems if each},
        stock=_list("stock", ITEM, documents, scope),
        lead_times=_list("lead-times", LEAD_TIME, documents, scope),
        as_found=_entries("as-found", read_look, documents, scope),
        learnt={each.id: each for each in learnt if each},
        renamed=_renamed(documents, scope.about("renamed")),
        regions={each.id: each for each in regions if each},
    )
    # Only now has every entry been read.
    return msgspec.structs.replace(knowledge, accepted=tuple(scope.accepted)), tuple(told)


def _single(
    kind: str, form: Form[T], documents: tuple[Document, ...], scope: Scope, folder: str
) -> T | None:
    """Return the value of a file that stands once."""
    for document in documents:
        if document.kind == kind:
            return form.read(document.top, scope.about(kind))
    if scope.names.whole:
        message = f"The file {kind}.yaml is missing."
        place = Origin(f"{folder}/{kind}.yaml", 0, 0)
        scope.told.append(problem("missing-file", place, message, "Put it into the folder."))
    return None


def _renamed(documents: tuple[Document, ...], scope: Scope) -> tuple[Renamed, ...]:
    """Return what was called otherwise before; the file may be missing."""
    read = (RENAMED.read(each.top, scope) for each in documents if each.kind == "renamed")
    return tuple(one for some in read if some for one in some)


def _vocabulary(words: Words | None) -> Vocabulary:
    if words is None:
        return Vocabulary({}, known=False)
    return Vocabulary({"likelihood": words.likelihood, "how-common": words.how_common})


def _list(kind: str, form: Form[T], documents: tuple[Document, ...], scope: Scope) -> dict[str, T]:
    """Return the entries of a file of one section: sources, layout, circumstances."""

    def read(name: str, origin: Origin, node: Node, inner: Scope) -> T | None:
        return form.read(node, inner, id=name, origin=origin)

    return _entries(kind, read, documents, scope)


def _entries(
    kind: str, read: Read, documents: tuple[Document, ...], scope: Scope
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for document in documents:
        if document.kind == kind:
            top = scope.about(kind).nearer(document.top)
            only_keys(document, (kind,), top)
            found.update(section_entries(document, kind, read, top))
    return found


def _procedures(
    documents: tuple[Document, ...], scope: Scope, readings: dict[str, Reading]
) -> dict[str, Procedure]:
    read = (
        read_procedure(top, readings, about) for top, about in _tops("procedure", documents, scope)
    )
    return {each.id: each for each in read if each}


def _tops(
    kind: str, documents: tuple[Document, ...], scope: Scope
) -> Iterator[tuple[Mapping, Scope]]:
    """Yield the top of each file of a kind that is one entry, with its scope."""
    for document in documents:
        if document.kind == kind:
            named = document.top.entries.get(kind)
            name = named.node.text if named and isinstance(named.node, Scalar) else document.stem
            top = without_accepted(document.top, scope.about(name))
            yield top, scope.about(document.stem)
