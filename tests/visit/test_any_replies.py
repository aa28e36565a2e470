"""Whatever is replied, there is a next turn, undo leads back, and a log tells it all."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import structs

from faultnet.advice.dangers import dangers_met, withheld
from faultnet.cases.events import Denied, Event, MadeSafe, Opened, Passed, Paused, Undone
from faultnet.visit.fold import progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.turn import Reply, Turn
from faultnet.visit.visit import Visit
from tests.visit.press import opened

WORDS = st.sampled_from(["safe", "pump", "", "50 40 15", "50psi 49psi 20min", "x", "frost"])


def leads_away(reply: Reply) -> bool:
    """Whether a reply ends or rests the visit, or goes back."""
    return reply.view == "ways" or isinstance(reply.event, Paused | Undone)


def replied(data: st.DataObject, visit: Visit, turn: Turn, *, deep: bool) -> Event | None:
    """Return the event of one reply, going through views on the way."""
    for _ in range(4):
        if turn.typed and data.draw(st.booleans()):
            outcome = visit.typed(turn.typed.what, data.draw(WORDS))
        else:
            replies = (*turn.replies, *turn.bar)
            choices = [r for r in replies if r.view != "stop" and not (deep and leads_away(r))]
            if not choices:
                return None
            reply = data.draw(st.sampled_from(choices))
            outcome = reply.event or visit.view(reply.view)
        if isinstance(outcome, Event):
            return outcome
        turn = outcome
    return None


def without_times(visit: Visit) -> Progress:
    """Return where a visit stands, but for when it was touched."""
    case = structs.replace(visit.at.case, touched="")
    return structs.replace(visit.at, case=case)


@settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_any_replies(small, data):
    visit = opened(small, Opened("small-pump"))
    deep = data.draw(st.booleans())
    if deep:
        visit = visit.after(Denied(("tingle", "someone-in-pit"))).after(Passed("layout"))
    for _ in range(data.draw(st.integers(0, 40))):
        turn = visit.turn
        assert turn.title
        assert len({r.key for r in (*turn.replies, *turn.bar)}) == len((*turn.replies, *turn.bar))
        if withheld(dangers_met(small, visit.at.evidence)) and not visit.at.paused:
            assert turn.kind in {"danger", "ended"}
            assert all(r.event is None or isinstance(r.event, MadeSafe) for r in turn.replies)
        event = replied(data, visit, turn, deep=deep)
        if event is None:
            continue
        after = visit.after(event)
        assert after.at == progress_of(small, reversed(after.entries), after.writer.author)
        if not isinstance(event, Undone) and after.last == after.entries[-1]:
            back = after.after(Undone(after.last.id))
            assert without_times(back) == without_times(visit)
            assert back.turn == turn
        visit = after
