"""A report read by section."""

from faultnet.report.report import service_report
from faultnet.writing.document import Bullets, Paragraph, Table


def lines(section):
    """Return the texts of a section, a row of a table as one with bars."""
    found = []
    for block in section.blocks:
        match block:
            case Paragraph(text):
                found.append(text)
            case Bullets(items):
                found += items
            case Table(_, rows):
                found += [" | ".join(row) for row in rows]
    return found


class Paper:
    """A report with its sections by title."""

    def __init__(self, *given, **more):
        self.document = service_report(*given, **more)
        self.facts = dict(self.document.facts)
        self.sections = {s.title: lines(s) for s in self.document.sections}

    def __getitem__(self, title):
        return self.sections[title]

    @property
    def text(self):
        told = [line for lines_ in self.sections.values() for line in lines_]
        return "\n".join([*self.facts.values(), *told])
