"""What every event of a case or a site is."""

from typing import Literal, TypeAlias

import msgspec

Speaker: TypeAlias = Literal["caller", "technician"]
"""Whose word it is."""


class Event(
    msgspec.Struct,
    frozen=True,
    tag_field="what",
    tag=True,
    omit_defaults=True,
    forbid_unknown_fields=True,
):
    """Something that happened."""
