"""What an author accepts of what is told about an entry, and why."""

import msgspec

from faultnet.model.origin import Origin


class Accepted(msgspec.Struct, frozen=True):
    """A warning that does not apply to an entry: its code, the reason, where that stands."""

    entity: str
    code: str
    reason: str
    origin: Origin
