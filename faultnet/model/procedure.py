"""Procedures: authored steps with limits and stop conditions."""

import msgspec

from faultnet.model.origin import Number, Origin


class Step(msgspec.Struct, frozen=True):
    """One step; ``limit`` maps what is limited (minutes, psi, tries ...) to a number."""

    do: str
    limit: dict[str, Number] = {}
    stop_when: str = ""
    caution: str = ""


class Procedure(msgspec.Struct, frozen=True):
    """Steps in order, with what to have at hand before."""

    id: str
    title: str
    about: str
    steps: tuple[Step, ...]
    origin: Origin
    before: tuple[str, ...] = ()
