"""Roles, and what each of them may do: the one table of it."""

from typing import Literal, get_args

Role = Literal["dispatcher", "technician", "senior", "read-only"]
Right = Literal["see", "customer", "write", "purge", "accounts"]

ROLES: tuple[Role, ...] = get_args(Role)

RIGHTS: dict[Right, str] = {
    "see": "see cases and their reports",
    "customer": "see customers in them: names, addresses, contacts, notes, pictures",
    "write": "open cases and write to them",
    "purge": "take customer data out",
    "accounts": "see accounts, tokens and the trail",
}
"""Each right in words; who may not see customers sees cases without them."""

MAY: dict[Role, frozenset[Right]] = {
    "dispatcher": frozenset({"see", "customer", "write"}),
    "technician": frozenset({"see", "customer", "write"}),
    "senior": frozenset({"see", "customer", "write", "purge", "accounts"}),
    "read-only": frozenset({"see"}),
}
"""What each role may do; what is not named it may not."""


def may(role: Role, right: Right) -> bool:
    """Whether a role has a right."""
    return right in MAY[role]


def role_of(text: str) -> Role | None:
    """Return the role of this name, or None."""
    return next((role for role in ROLES if role == text), None)
