"""The store as commands use it: opened, and one case or site found in it."""

import contextlib
import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from faultnet.cli.output import CannotWriteError

if TYPE_CHECKING:
    from faultnet.cases.entry import Writer
    from faultnet.cases.store.listing import Listed
    from faultnet.cases.store.store import Store

AUTHOR = "FAULTNET_AUTHOR"
"""The variable that says who writes."""

PATH = "FAULTNET_STORE"


class CannotKeepError(CannotWriteError):
    """The store cannot be used; the message tells place, reason and mend."""

    kind = "store"


@contextlib.contextmanager
def opened() -> "Iterator[Store]":
    """Open the store that FAULTNET_STORE names, or the file in the data folder."""
    from faultnet.cases.store.place import place_of
    from faultnet.cases.store.store import Store
    from faultnet.cases.store.trouble import StoreError
    from faultnet.cli.places import data_folder

    try:
        with Store(place_of(os.environ.get(PATH), data_folder())) as store:
            yield store
    except StoreError as error:
        raise CannotKeepError(str(error)) from error


def shown() -> str:
    """Return where the store lies, without a password; raise ``CannotKeepError``."""
    from faultnet.cases.store.place import place_of
    from faultnet.cases.store.trouble import StoreError
    from faultnet.cli.places import data_folder

    try:
        return place_of(os.environ.get(PATH), data_folder()).shown
    except StoreError as error:
        raise CannotKeepError(str(error)) from error


def writer() -> "Writer":
    """Return who writes: FAULTNET_AUTHOR or the name of the user, at this machine."""
    from faultnet.cases.entry import Writer

    name = os.environ.get(AUTHOR, "").strip() or _user()
    plain = "".join(c for c in name if c.isprintable())[:100] or "somebody"
    return Writer(f"{plain}@{_device()}")


def one(store: "Store", part: str, kind: str = "case") -> "Listed":
    """Return the only case or site that has this in its id."""
    from faultnet.authoring.nearest import did_you_mean
    from faultnet.cases.store.listing import cases, named, sites

    found = [each for each in named(store, part) if each.kind == kind] if part else []
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(each.id for each in found[:5])
        raise click.UsageError(f"More than one {kind} has `{part[:40]}` in its name: {names}.")
    known = [each.id for each in (sites(store) if kind == "site" else cases(store))]
    hint = did_you_mean(part, known)
    raise click.UsageError(f"There is no {kind} `{part[:40]}`. {hint}".rstrip())


def _user() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def _device() -> str:
    """Return letters that stand for this machine, made once and kept in the data folder."""
    from faultnet.cases.entry import letters
    from faultnet.cli.places import data_folder

    path = data_folder() / "device"
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with contextlib.suppress(FileExistsError), path.open("x", encoding="ascii") as stream:
            stream.write(letters(6))
        kept = path.read_text("ascii", errors="replace").strip()[:20]
        if kept.isalnum():
            return kept
    return letters(6)
