"""From the model to a Bayesian network: roots, causes, findings and their tables."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from faultnet.network.read import read_network
    from faultnet.network.write import write_network

__all__ = ["read_network", "write_network"]


def __getattr__(name: str) -> object:
    """Import what is asked for only then."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{name.partition('_')[0]}"), name)
