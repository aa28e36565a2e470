"""Products of matrices by one thread: how many share them decides their last digits."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path


@cache
def one_thread() -> None:
    """Have this process multiply matrices by one thread, from now on.

    Not for a while: several threads of a process may be at work, and what one of them gives back
    would be given to all. The matrices here are small; more threads bring little.
    """
    import numpy as np
    from threadpoolctl import threadpool_limits

    assert np  # its library has to be there, that it be found
    threadpool_limits(1, user_api="blas")


def library() -> str:
    """Return what multiplies matrices for NumPy, and for which processor it does so."""
    import numpy as np
    from threadpoolctl import threadpool_info

    assert np  # see above
    found = [each for each in threadpool_info() if each["user_api"] == "blas"]
    ours = [each for each in found if not _of_scipy(Path(each["filepath"]))]
    return ", ".join(sorted({_told(each) for each in ours})) or "unknown"


def _of_scipy(path: Path) -> bool:
    """SciPy brings a library of its own, where it is loaded; nothing here is reckoned with it."""
    return not {parent.name for parent in path.parents[:2]}.isdisjoint({"scipy", "scipy.libs"})


def _told(library: Mapping[str, object]) -> str:
    fields = ("internal_api", "version", "architecture")
    return " ".join(str(library[field]) for field in fields if library.get(field))
