"""Procedures: authored steps with limits and stop conditions."""

import msgspec

from faultnet.model.origin import Number, Origin


class Step(msgspec.Struct, frozen=True):
    """One step; ``limit`` maps what is limited (minutes, psi, tries ...) to a number.

    ``meanwhile`` is what to look at during a wait; ``takes`` maps a reading to the parts
    of it that are read at this step; ``set_ups`` what is made (True) or undone by it.
    """

    do: str
    limit: dict[str, Number] = {}
    stop_when: str = ""
    caution: str = ""
    meanwhile: str = ""
    takes: dict[str, tuple[str, ...]] = {}
    set_ups: dict[str, bool] = {}


class ByPhone(msgspec.Struct, frozen=True):
    """What makes a procedure one that a caller may be talked through.

    ``first`` maps findings to the answers that must have been given before; ``when`` to
    those that call for it, where no repair names it. ``starts_pump`` marks a restart.
    """

    first: dict[str, str] = {}
    when: dict[str, str] = {}
    starts_pump: bool = False


class Procedure(msgspec.Struct, frozen=True):
    """Steps in order, with what to bring for them and what must be so before.

    ``after`` is how the site is left when it ends early, by a stop condition or by will.
    """

    id: str
    title: str
    about: str
    steps: tuple[Step, ...]
    origin: Origin
    bring: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    by_phone: ByPhone | None = None
