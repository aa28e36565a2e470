"""The parts of a service report."""

import msgspec

from faultnet.writing.document import Document, Section


class ReportShape(msgspec.Struct, frozen=True):
    """A paper on a case: the facts at its head by name, then its sections."""

    case: str
    for_: str = msgspec.field(name="for")
    title: str
    facts: dict[str, str]
    sections: tuple[Section, ...]


def report_shape(case: str, document: Document) -> ReportShape:
    """Return the parts of the report on a case."""
    return ReportShape(case, document.copy, document.title, dict(document.facts), document.sections)
