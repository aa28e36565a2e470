"""All that the files say, in one value."""

import msgspec

from faultnet.model.accepted import Accepted
from faultnet.model.as_found import Look
from faultnet.model.cause import Cause
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.layout import Circumstance, Layout
from faultnet.model.learnt import Learnt
from faultnet.model.look_alike import LookAlike
from faultnet.model.origin import NOWHERE, Origin
from faultnet.model.procedure import Procedure
from faultnet.model.rates import Rates
from faultnet.model.reading import Reading
from faultnet.model.region import Region
from faultnet.model.renamed import Renamed
from faultnet.model.repair import Repair
from faultnet.model.set_up import SetUp
from faultnet.model.stock import Item, LeadTime
from faultnet.model.system import System
from faultnet.model.words import Source, Words


class Part(msgspec.Struct, frozen=True):
    """A file of knowledge about one area."""

    id: str
    title: str
    about: str = ""
    origin: Origin = NOWHERE


class Knowledge(msgspec.Struct, frozen=True):
    """Every entry by its id; ``version`` is a digest of the files it was read from.

    ``region`` is the one whose numbers stand here; empty where all share them.
    """

    version: str
    words: Words
    rates: Rates
    sources: dict[str, Source]
    layouts: dict[str, Layout]
    circumstances: dict[str, Circumstance]
    parts: dict[str, Part]
    causes: dict[str, Cause]
    findings: dict[str, Finding]
    checks: dict[str, Check]
    repairs: dict[str, Repair]
    set_ups: dict[str, SetUp]
    readings: dict[str, Reading]
    look_alikes: dict[str, LookAlike]
    procedures: dict[str, Procedure]
    systems: dict[str, System]
    stock: dict[str, Item] = {}
    lead_times: dict[str, LeadTime] = {}
    as_found: dict[str, Look] = {}
    accepted: tuple[Accepted, ...] = ()
    learnt: dict[str, Learnt] = {}
    renamed: tuple[Renamed, ...] = ()
    regions: dict[str, Region] = {}
    region: str = ""
