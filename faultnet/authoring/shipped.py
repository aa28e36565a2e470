"""Where the knowledge that comes with the program lies."""

import os
from pathlib import Path

VARIABLE = "FAULTNET_KNOWLEDGE"
_PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder() -> Path:
    """Return the folder that FAULTNET_KNOWLEDGE names, or the one that came along.

    In a source checkout that is `knowledge` beside the package, else `knowledge` in it.
    """
    named = os.environ.get(VARIABLE)
    if named:
        return Path(named)
    beside = _PACKAGE.parent / "knowledge"
    if (beside / "words.yaml").is_file() and not inside().is_dir():
        return beside
    return inside()


def inside() -> Path:
    """Return where it lies in an installed program; nobody writes there."""
    return _PACKAGE / "knowledge"


def problems_page() -> Path:
    """Return the page that explains each code of a problem; it may be missing.

    In a source checkout that is `docs/problems.md`, else `problems.md` in the package.
    """
    inside = _PACKAGE / "problems.md"
    return inside if inside.is_file() else _PACKAGE.parent / "docs/problems.md"
