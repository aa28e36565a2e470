"""What a truck carries, and what takes days to come."""

from collections.abc import Collection, Mapping

import msgspec

from faultnet.model.origin import Number, Origin

KEPT = ("truck", "shop", "order")
"""Where an item usually is: on every truck, in the shop, or at a dealer."""

CARRIED = ("pocket", "box", "heavy")
"""How much trouble an item is to load: ``heavy`` takes two hands or two people."""


class Item(msgspec.Struct, frozen=True):
    """Something that can be loaded; ``provides`` names the parts and tools it serves as.

    ``usual`` is how many are usually on a truck; ``price`` what the customer pays for one.
    """

    id: str
    title: str
    provides: tuple[str, ...]
    kept: str
    carried: str
    usual: Number
    origin: Origin
    price: Number | None = None


def serving(stock: Mapping[str, Item], names: Collection[str]) -> tuple[str, ...]:
    """Return the ids of the items that serve as any of some parts and tools, in their order."""
    wanted = frozenset(names)
    return tuple(item.id for item in stock.values() if not wanted.isdisjoint(item.provides))


class LeadTime(msgspec.Struct, frozen=True):
    """Something that must be arranged ahead, with its hours.

    It is needed with any of the repairs, and with any repair that takes one of the parts or
    tools. ``say`` tells whoever takes the call what to do about it.
    """

    id: str
    title: str
    hours: Number
    say: str
    origin: Origin
    repairs: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
