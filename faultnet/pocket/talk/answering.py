"""What the page asks, and what it is answered: JSON asked, JSON answered."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import msgspec

from faultnet.model.knowledge import Knowledge
from faultnet.pocket.talk.about import AboutAsked, about
from faultnet.pocket.talk.advise import AdviceAsked, next_told, ranked
from faultnet.pocket.talk.begin import BeginAsked, begin
from faultnet.pocket.talk.carried import NOW, Carried, OfCase
from faultnet.pocket.talk.causes import causes
from faultnet.pocket.talk.foresee import ForeseeAsked, foresee
from faultnet.pocket.talk.happened import happened
from faultnet.pocket.talk.listed import ListedAsked, listed
from faultnet.pocket.talk.papers import (
    CasefileAsked,
    OpenedAsked,
    ReportAsked,
    casefile,
    opened,
    report,
)
from faultnet.pocket.talk.reply import ReplyAsked, reply
from faultnet.pocket.talk.show import ShowAsked, show
from faultnet.pocket.talk.trouble import Trouble, Troubled, TroubleError
from faultnet.shapes.plain import text
from faultnet.shapes.unfit import unfit


@dataclass(frozen=True)
class Ask:
    """What can be asked: the shape of what is given, and what answers."""

    given: type[msgspec.Struct]
    answer: Callable[[Carried, Any], object]


ASKS: Mapping[str, Ask] = {
    "about": Ask(AboutAsked, about),
    "begin": Ask(BeginAsked, begin),
    "show": Ask(ShowAsked, show),
    "reply": Ask(ReplyAsked, reply),
    "foresee": Ask(ForeseeAsked, foresee),
    "history": Ask(OfCase, happened),
    "causes": Ask(OfCase, causes),
    "report": Ask(ReportAsked, report),
    "casefile": Ask(CasefileAsked, casefile),
    "opened": Ask(OpenedAsked, opened),
    "listed": Ask(ListedAsked, listed),
    "rank": Ask(AdviceAsked, ranked),
    "next": Ask(AdviceAsked, next_told),
}
"""Everything that can be asked, by name."""


class Talking:
    """Answers the page with one version of the knowledge; what was worked out is at hand."""

    def __init__(self, knowledge: Knowledge, clock: Callable[[], float] = NOW) -> None:
        """Make nothing ready yet; ``clock`` tells seconds since 1970."""
        self.carried = Carried(knowledge, clock)

    def answer(self, ask: str, given: str) -> str:
        """Return the answer to an ask, or the trouble with it; only ``MemoryError`` is raised."""
        try:
            return text(self._answer(ask, given))
        except TroubleError as error:
            return text(Troubled(error.trouble))
        except MemoryError:
            raise  # the page starts anew and asks once more
        except Exception as error:  # noqa: BLE001 -- told as trouble; the page goes on
            return text(Troubled(_fault(ask, error)))

    def _answer(self, ask: str, given: str) -> object:
        if ask not in ASKS:
            mend = f"What can be asked: {', '.join(ASKS)}."
            raise TroubleError("ask", f"There is nothing to ask as `{ask[:40]}`.", mend)
        asked = ASKS[ask]
        return asked.answer(self.carried, _decoded(asked.given, given, ask))


def _fault(ask: str, error: Exception) -> Trouble:
    reason = f"A fault of faultnet in `{ask[:40]}`: {type(error).__name__}: {error}"
    return Trouble(
        "faultnet", reason, "What is kept stays kept. Go back, or carry it to the office."
    )


def _decoded(of: type[msgspec.Struct], given: str, ask: str) -> msgspec.Struct:
    mend = f"Ask `{ask}` with {', '.join(of.__struct_fields__) or 'nothing'}."
    try:
        return msgspec.json.decode(given, type=of)
    except msgspec.ValidationError as error:
        reason, place = unfit(error)
        raise TroubleError(place, reason, mend) from None
    except (msgspec.DecodeError, UnicodeError, RecursionError) as error:
        raise TroubleError("$", f"This is no JSON: {error}.", mend) from None
