"""What Python compiled out of archives, so that it need not be compiled at the next start."""

import io
import marshal
import sys
import zipfile
from importlib.util import MAGIC_NUMBER
from zipimport import zipimporter

HEAD = MAGIC_NUMBER + bytes(12)
"""How compiled code begins: of which Python, and that no source is to be looked at."""

AT_ONCE = 8
"""Modules compiled before somebody else has a turn."""


class Compiling:
    """Puts all modules that came out of archives into another one, compiled.

    That one stands before those archives on the path; nothing in it is packed, as that takes
    time.
    """

    def __init__(self) -> None:
        self._stream = io.BytesIO()
        self._archive = zipfile.ZipFile(self._stream, "w", zipfile.ZIP_STORED)
        self._waiting = [name for name in sorted(sys.modules) if _is_packed(name)]

    def more(self) -> bool:
        """Compile some modules and return whether there are more."""
        for name in self._waiting[:AT_ONCE]:
            spec = sys.modules[name].__spec__
            assert spec is not None
            assert isinstance(spec.loader, zipimporter)
            inside = "" if spec.submodule_search_locations is None else "/__init__"
            code = marshal.dumps(spec.loader.get_code(name))
            self._archive.writestr(f"{name.replace('.', '/')}{inside}.pyc", HEAD + code)
        del self._waiting[:AT_ONCE]
        return bool(self._waiting)

    def whole(self) -> bytes:
        """Return the archive of what was compiled."""
        self._archive.close()
        return self._stream.getvalue()


def _is_packed(name: str) -> bool:
    spec = getattr(sys.modules[name], "__spec__", None)
    return spec is not None and spec.name == name and isinstance(spec.loader, zipimporter)
