"""Exact engines: evidence in, beliefs out."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from faultnet.inference.choose import compile_network

__all__ = ["compile_network"]


def __getattr__(name: str) -> object:
    """Import what is asked for only then."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from faultnet.inference.choose import compile_network

    return compile_network
