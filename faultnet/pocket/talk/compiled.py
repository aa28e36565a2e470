"""What Python compiled out of archives, so that it need not be compiled at the next start."""

import io
import marshal
import sys
import zipfile
from importlib.machinery import ModuleSpec
from importlib.util import MAGIC_NUMBER
from types import CodeType
from zipimport import zipimporter

HEAD = MAGIC_NUMBER + bytes(12)
"""How compiled code begins: of which Python, and that no source is to be looked at."""


def compiled() -> bytes:
    """Return an archive of all modules that came out of archives, compiled.

    It stands before those archives on the path; nothing in it is packed, as that takes time.
    """
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(sys.modules):
            code, spec = _code(name)
            if code is not None:
                archive.writestr(_path(name, spec), HEAD + marshal.dumps(code))
    return stream.getvalue()


def _code(name: str) -> tuple[CodeType | None, ModuleSpec | None]:
    spec = getattr(sys.modules[name], "__spec__", None)
    if spec is None or spec.name != name or not isinstance(spec.loader, zipimporter):
        return None, None
    return spec.loader.get_code(name), spec


def _path(name: str, spec: ModuleSpec | None) -> str:
    is_package = spec is not None and spec.submodule_search_locations is not None
    return f"{name.replace('.', '/')}{'/__init__' if is_package else ''}.pyc"
