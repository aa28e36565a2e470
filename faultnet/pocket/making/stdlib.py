"""Python's own modules without those that a page never asks for: a fifth less to fetch."""

import io
import zipfile

from faultnet.pocket.making.rooms import archive

LEFT_OUT = frozenset(
    {
        # Reading and writing code by hand, tests, profiles.
        *("_pyrepl", "pdb", "bdb", "cmd", "code", "doctest", "unittest", "pydoc", "pydoc_data"),
        *("profile", "cProfile", "pstats", "trace", "tracemalloc", "timeit", "modulefinder"),
        *(
            "pickletools",
            "tabnanny",
            "pyclbr",
            "symtable",
            "rlcompleter",
            "compileall",
            "ensurepip",
        ),
        # Servers, mail and other processes.
        *("http", "xmlrpc", "wsgiref", "socketserver", "imaplib", "poplib", "smtplib", "ftplib"),
        *("email", "mailbox", "mailcap", "netrc", "multiprocessing", "webbrowser", "venv"),
        # Files of other kinds.
        *("xml", "plistlib", "tomllib", "configparser", "csv", "wave", "tarfile", "zipapp"),
        *("mimetypes", "sqlite3", "dbm", "shelve"),
        # The command line and other languages.
        *("argparse", "optparse", "getopt", "getpass", "gettext", "curses", "tkinter", "turtle"),
        *("idlelib", "lib2to3", "ctypes"),
    }
)
"""Modules and packages, by name."""

SPOKEN = frozenset(
    {"__init__", "aliases", "ascii", "cp437", "idna", "latin_1", "utf_8", "utf_8_sig"}
)
"""What is kept of the encodings; a browser speaks UTF-8."""


def without_the_unasked(stdlib: bytes) -> bytes:
    """Return the archive of Python's own modules without what is left out."""
    with zipfile.ZipFile(io.BytesIO(stdlib)) as whole:
        kept = [entry for entry in whole.namelist() if _is_asked(entry)]
        return archive({name: whole.read(name) for name in kept})


def _is_asked(entry: str) -> bool:
    if entry.endswith("/"):
        return False
    first, _, rest = entry.partition("/")
    if first == "encodings":
        return rest.removesuffix(".py") in SPOKEN
    return first.removesuffix(".py") not in LEFT_OUT
