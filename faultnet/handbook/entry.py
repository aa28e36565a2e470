"""The section of any entry."""

from collections.abc import Callable
from typing import Any

from faultnet.handbook.entries.cause import cause_section
from faultnet.handbook.entries.finding import finding_section
from faultnet.handbook.entries.ground import root_section, system_section
from faultnet.handbook.entries.walk import procedure_section, reading_section
from faultnet.handbook.entries.work import check_section, repair_section, set_up_section
from faultnet.handbook.teller import Entry, Teller
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.procedure import Procedure
from faultnet.model.reading import Reading
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.system import System
from faultnet.writing.document import Section

SECTIONS: dict[type, Callable[[Teller, Any], Section]] = {
    Cause: cause_section,
    Finding: finding_section,
    Check: check_section,
    Repair: repair_section,
    SetUp: set_up_section,
    Procedure: procedure_section,
    Reading: reading_section,
    Layout: root_section,
    Circumstance: root_section,
    System: system_section,
}


def section_of(t: Teller, entry: Entry) -> Section:
    """Return all that is told about an entry."""
    return SECTIONS[type(entry)](t, entry)
