"""What was learnt from closed cases: which cases, by which method, and what came of it."""

import msgspec

from faultnet.model.origin import Origin


class LearntNumber(msgspec.Struct, frozen=True):
    """A number that an author accepted: what it was, what the cases made of it, and how sure.

    ``number`` names it as ``faultnet learn`` does; ``was`` counted for ``prior`` cases. ``low``
    and ``high`` are the range that was told, ``speak_for`` and ``against`` count cases, perhaps
    by halves, and ``cases`` names some of them.
    """

    number: str
    was: float
    value: float
    low: float
    high: float
    prior: float
    speak_for: float
    against: float
    cases: tuple[str, ...] = ()


class Learnt(msgspec.Struct, frozen=True):
    """One run over closed cases; its id is that of a source, which numbers name.

    ``since`` and ``until`` are the days of the first and the last case, ``count`` says how many
    there were, ``digest`` which: it is made of their ids. ``knowledge`` is the version of the
    files before.
    """

    id: str
    system: str
    since: str
    until: str
    count: int
    digest: str
    knowledge: str
    method: str
    numbers: tuple[LearntNumber, ...]
    origin: Origin
