"""Exact engines: evidence in, beliefs out."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from faultnet.inference.choose import compile_network

__all__ = ["compile_network"]


def __getattr__(name: str) -> Any:  # noqa: ANN401 whatever stands in the module
    """Import what is asked for only then."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from faultnet.inference.choose import compile_network

    return compile_network
