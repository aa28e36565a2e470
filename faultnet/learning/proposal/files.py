"""Accepted offers as files: numbers in their places, the source, and which cases it was."""

from collections.abc import Sequence

import msgspec

from faultnet.authoring.node import Plain, Value
from faultnet.authoring.schema.kinds import first_line
from faultnet.authoring.whole import Whole
from faultnet.authoring.writing.change import Change
from faultnet.authoring.writing.insert import insert
from faultnet.authoring.writing.replace import replace_number
from faultnet.authoring.writing.spot import CannotWriteHereError
from faultnet.authoring.writing.written import STEP, beside, entry
from faultnet.learning.proposal.offer import Offer, Written
from faultnet.learning.proposal.run import MOST_LISTED, Run, source_of
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number

SOURCES = "sources.yaml"
SOME = 5
"""Cases named beside a number."""


class Unwritten(msgspec.Struct, frozen=True):
    """An accepted offer that cannot be written in its place, with the reason."""

    offer: Offer
    reason: str


class Accepted(msgspec.Struct, frozen=True):
    """The files as they would be, and the offers that have to be written by hand."""

    source: str
    changes: tuple[Change, ...]
    offers: tuple[Offer, ...]
    unwritten: tuple[Unwritten, ...]

    def after(self, whole: Whole) -> Whole:
        """Return the files with the changes."""
        return whole.having({each.name: each.after for each in self.changes})


def accepted(whole: Whole, knowledge: Knowledge, offers: Sequence[Offer], run: Run) -> Accepted:
    """Return the files with offers accepted; where none can be written there is no change.

    Raises ``CannotWriteHereError`` where the sources are laid out so that none can be added.
    """
    source = source_of(run, knowledge)
    texts: dict[str, str] = {}
    kept, unwritten = [], []
    for offer in sorted(offers, key=_last_first):
        changed = dict(texts)
        try:
            _write(offer, _Texts(whole, knowledge, changed), source)
        except CannotWriteHereError as error:
            unwritten.append(Unwritten(offer, str(error)))
            continue
        texts = changed
        kept.append(offer)
    if kept:
        made = _Texts(whole, knowledge, texts)
        made.put(
            SOURCES, insert(made.of(SOURCES), ("sources",), source, _source(run, source, kept))
        )
        texts[f"learnt/{source}.yaml"] = _learnt(run, source, kept, knowledge.version)
    changes = tuple(
        Change(name, whole.bytes_of(name), text.encode()) for name, text in texts.items()
    )
    return Accepted(source, changes, tuple(kept), tuple(unwritten))


class _Texts(msgspec.Struct):
    """The texts of files as far as they are changed."""

    whole: Whole
    knowledge: Knowledge
    changed: dict[str, str]

    def of(self, name: str) -> str:
        data = self.whole.bytes_of(name)
        return self.changed.get(name) or (data or b"").decode("utf-8")

    def put(self, name: str, text: str) -> None:
        self.changed[name] = text

    def below(self, shown: str) -> str:
        """The name below the folder of a file as problems show it."""
        return shown.removeprefix(f"{self.whole.shown}/")


def _write(offer: Offer, texts: _Texts, source: str) -> None:
    if offer.held.beside is not None:
        shown, path = offer.held.beside
        name = texts.below(shown)
        texts.put(name, insert(texts.of(name), path[:-1], path[-1], _own(offer, source)))
        return
    for each in sorted(offer.written, key=lambda w: _place(w.number), reverse=True):
        if each.value == each.number.value:
            continue
        name = texts.below(each.number.origin.file)
        said = _said(offer, each, texts.knowledge)
        since = _provenance(each, source)
        texts.put(name, replace_number(texts.of(name), each.number, said, since))


def _own(offer: Offer, source: str) -> Value:
    """The numbers of a system of its own."""
    first = offer.written[0]
    if offer.held.sum == "one":
        values: dict[str, Value] = {each.label: each.value for each in offer.written}
        return {**values, "from": _from(_provenance(first, source))}
    return {"is": first.value, "from": _from(_provenance(first, source))}


def _from(provenance: tuple[str, ...]) -> Value:
    return provenance[0] if len(provenance) == 1 else list(provenance)


def _said(offer: Offer, each: Written, knowledge: Knowledge) -> Plain:
    """The number, or the word that means just that."""
    tables = {"likelihood": knowledge.words.likelihood, "how-common": knowledge.words.how_common}
    words = tables.get(offer.held.words, {})
    return next((word for word, n in words.items() if n.value == each.value), each.value)


def _provenance(each: Written, source: str) -> tuple[str, ...]:
    """Where a number comes from: the cases, and what stood before unless they outweigh it."""
    told = each.proposed
    if told is not None and told.speak_for + told.against >= told.prior:
        return (source,)
    return (source, *(name for name in each.number.provenance if name != source))


def _source(run: Run, source: str, offers: Sequence[Offer]) -> Value:
    count = sum(len(offer.written) for offer in offers)
    cases = f"{len(run.cases):,} closed case{'' if len(run.cases) == 1 else 's'}"
    return {
        "title": f"What {cases} of {run.system} say",
        "published-as": f"kept in learnt/{source}.yaml; cases closed {run.since} to {run.until}",
        "read": "every case, by faultnet learn",
        "gives": f"{count} number{'' if count == 1 else 's'}, each accepted by an author.",
    }


def _learnt(run: Run, source: str, offers: Sequence[Offer], version: str) -> str:
    """The file that says which cases it was."""
    listed = len(run.cases) <= MOST_LISTED
    whole: dict[str, Value] = {
        "learnt": source,
        "system": run.system,
        "since": run.since,
        "until": run.until,
        "knowledge": version,
        "method": run.method,
        "count": len(run.cases),
        "digest": run.digest,
    }
    numbers = [_number(o, w) for o in offers for w in o.written if w.proposed is not None]
    lines = [line for key, value in whole.items() for line in entry(key, value, 0, STEP)]
    name = f"learnt/{source}.yaml"
    cases = [f"  - {beside(case)}" for case in run.cases if listed]
    lines += ["numbers:", *(f"  - {beside(number)}" for number in numbers)]
    return "\n".join([first_line(name), *lines, *(["cases:", *cases] if cases else []), ""])


def _number(offer: Offer, each: Written) -> Value:
    told = each.proposed
    assert told is not None
    name = f"{offer.id}/{each.label}" if each.label else offer.id
    return {
        "number": name,
        "was": each.number.value,
        "is": each.value,
        "low": _short(told.interval.low),
        "high": _short(told.interval.high),
        "prior": _short(told.prior),
        "for": _short(told.speak_for),
        "against": _short(told.against),
        **({"cases": list(told.cases[:SOME])} if told.cases else {}),
    }


def _short(value: float) -> float:
    return float(f"{value:.4g}")


def _last_first(offer: Offer) -> tuple[bool, str, int, int]:
    """Numbers further down first, so that those above stay where they are; then what is new."""
    file, line, column = _place(offer.written[0].number)
    return offer.held.beside is not None, file, -line, -column


def _place(number: Number) -> tuple[str, int, int]:
    return number.origin.file, number.origin.line, number.origin.column
