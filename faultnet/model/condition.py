"""Conditions on the layout under which a link, a cause, a finding or a check exists."""

from typing import TypeAlias

When: TypeAlias = dict[str, tuple[str, ...]]
"""Layout id to the values that are allowed; all entries must hold."""
