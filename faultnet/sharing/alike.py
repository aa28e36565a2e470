"""What of a process decides its answers to the last bit, and in what two processes differ."""

import hashlib
import platform
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import msgspec

from faultnet.sharing.one_thread import library


class Alike(msgspec.Struct, frozen=True):
    """Versions, and a digest of the code and of the knowledge that came along with it."""

    faultnet: str
    code: str
    knowledge: str
    python: str
    numpy: str
    machine: str
    vectors: str
    matrices: str
    c_library: str


NAMES = {
    "faultnet": "faultnet",
    "code": "the code of faultnet",
    "knowledge": "the knowledge that came along",
    "python": "Python",
    "numpy": "NumPy",
    "machine": "the kind of processor",
    "vectors": "what NumPy uses of the processor",
    "matrices": "the library that multiplies matrices",
    "c_library": "the C library",
}
"""What a field is called."""
OF_PROCESSORS = ("vectors", "matrices")
"""What differs with the age of a processor, and can be set alike."""


@cache
def alike() -> Alike:
    """Return it of this process."""
    import numpy as np

    from faultnet import __version__

    house = Path(__file__).parents[1]
    knowledge = next((p for p in (house, house.parent) if (p / "knowledge").is_dir()), house)
    return Alike(
        __version__,
        _digest(house, house.rglob("*.py")),
        _digest(knowledge, (knowledge / "knowledge").rglob("*.yaml")),
        platform.python_version(),
        np.__version__,
        platform.machine(),
        " ".join(np.show_config(mode="dicts").get("SIMD Extensions", {}).get("found", ())),
        library(),
        " ".join(platform.libc_ver()),
    )


def unlike(theirs: Alike, ours: Alike) -> Iterator[str]:
    """Tell in what two processes differ."""
    for field, name in NAMES.items():
        there, here = getattr(theirs, field), getattr(ours, field)
        if there != here:
            yield f"{name} is {there} there and {here} here"


def of_processors(theirs: Alike, ours: Alike) -> bool:
    """Return whether they differ in what hangs on the age of their processors."""
    return like_processor(theirs, ours) != theirs


def like_processor(theirs: Alike, ours: Alike) -> Alike:
    """Return theirs as it would be on a processor of the same age as ours."""
    same = {field: getattr(ours, field) for field in OF_PROCESSORS}
    return msgspec.structs.replace(theirs, **same)


def _digest(folder: Path, files: "Iterator[Path]") -> str:
    """Return letters that stand for what files hold and what they are called."""
    whole = hashlib.sha256()
    for path in sorted(files):
        whole.update(f"{path.relative_to(folder)}\0".encode())
        whole.update(hashlib.sha256(path.read_bytes()).digest())
    return whole.hexdigest()[:12]
