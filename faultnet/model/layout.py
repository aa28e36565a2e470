"""Facts of the installation, and what happened just before the trouble."""

import msgspec

from faultnet.model.origin import Number, Origin


class LayoutValue(msgspec.Struct, frozen=True):
    """One way an installation can be laid out, with how usual it is."""

    id: str
    title: str
    prior: Number


class Layout(msgspec.Struct, frozen=True):
    """A fact of the installation that decides what a finding means."""

    id: str
    title: str
    ask: str
    values: tuple[LayoutValue, ...]
    origin: Origin
    ask_caller: str = ""


class Circumstance(msgspec.Struct, frozen=True):
    """Something that may have happened just before; ``prior`` is per trouble call."""

    id: str
    title: str
    ask: str
    prior: Number
    origin: Origin
    ask_caller: str = ""
    words: tuple[str, ...] = ()
