"""Where a command reads closed cases: what is named, or the store of this machine."""

import os
from typing import TYPE_CHECKING

from faultnet.cli import kept_cases

if TYPE_CHECKING:
    from faultnet.learning.fit.fitted import Fitted
    from faultnet.learning.source import Source
    from faultnet.model.knowledge import Knowledge
    from faultnet.sharing.sharing import Sharing


def opened(where: str | None, knowledge: "Knowledge") -> "Source":
    """Return the source that is named, else the cases that are kept; nothing is read yet.

    Raises ``SourceError``.
    """
    from faultnet.cases.store.place import place_of
    from faultnet.cases.store.trouble import StoreError
    from faultnet.cli.places import data_folder
    from faultnet.learning.reading.store import StoreSource
    from faultnet.learning.reading.where import source_of

    if where:
        return source_of(where, knowledge)
    try:
        place = place_of(os.environ.get(kept_cases.PATH), data_folder())
    except StoreError as error:
        raise kept_cases.CannotKeepError(str(error)) from error
    return StoreSource(place.url.render_as_string(hide_password=False), knowledge)


def usable(where: str | None, knowledge: "Knowledge", sharing: "Sharing") -> "Fitted":
    """Return the cases that can be used with the knowledge, each once; the others set aside.

    Whether the answers of a case can all be so is left to whoever asks the network of them
    anyway. Raises ``SourceError``.
    """
    import time

    from faultnet.cases.entry import time_text
    from faultnet.learning.fit.fit import fit_to
    from faultnet.learning.fit.fitted import fitted

    fit = fit_to(knowledge, time_text(time.time()))
    return fitted(opened(where, knowledge), fit, sharing, weighed=False)
