"""Whatever is replied, there is a next turn, undo leads back, and a log tells it all."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet.advice.dangers import dangers_met, withheld
from faultnet.visit.events import Event, MadeSafe, Opened, Undone
from faultnet.visit.fold import progress_of
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit, visit_of

WORDS = st.sampled_from(["safe", "pump", "", "50 40 15", "50psi 49psi 20min", "x", "frost"])


def replied(data: st.DataObject, visit: Visit, turn: Turn) -> Event | None:
    """Return the event of one reply, going through views on the way."""
    for _ in range(4):
        if turn.typed and data.draw(st.booleans()):
            outcome = visit.typed(turn.typed.what, data.draw(WORDS))
        else:
            choices = [r for r in (*turn.replies, *turn.bar) if r.view != "stop"]
            if not choices:
                return None
            reply = data.draw(st.sampled_from(choices))
            outcome = reply.event or visit.view(reply.view)
        if isinstance(outcome, Event):
            return outcome
        turn = outcome
    return None


@settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_any_replies(small, data):
    visit = visit_of(small, (Opened("small-pump"),))
    for _ in range(data.draw(st.integers(0, 40))):
        turn = visit.turn
        assert turn.title
        assert len({r.key for r in (*turn.replies, *turn.bar)}) == len((*turn.replies, *turn.bar))
        if withheld(dangers_met(small, visit.at.evidence)) and not visit.at.paused:
            assert turn.kind in {"danger", "ended"}
            assert all(r.event is None or isinstance(r.event, MadeSafe) for r in turn.replies)
        event = replied(data, visit, turn)
        if event is None:
            continue
        after = visit.after(event)
        assert after.at == progress_of(small, after.events)
        if not isinstance(event, Undone) and after.last == event:
            back = after.after(Undone())
            assert back.at == visit.at
            assert back.turn == turn
        visit = after
