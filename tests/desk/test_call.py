"""A call from the first question to what it comes to."""

import msgspec
import pytest

from faultnet.advice.load import FirstVisit, usual_truck
from faultnet.advice.outfit import Outfitting
from faultnet.advice.ranking import rank
from faultnet.cases.events import (
    CallTold,
    Denied,
    Joined,
    MadeSafe,
    Named,
    Passed,
    RepairDone,
    Told,
)
from faultnet.desk.desk import Truck
from faultnet.desk.outcome import outcome_of
from faultnet.desk.questions import TALK, next_asking, spent
from faultnet.visit.turn import Turn
from faultnet.visit.visit import visit_of
from tests.desk.callers import Caller, talk
from tests.visit.press import ANNA, key_of, labels, pick, press, text

NO_DANGER = ("n", "n", "n")


def start(begin, *events, reach="y"):
    """Return a call without danger or need, at the caller's own words."""
    return press(begin(*events), *NO_DANGER, "n", reach)


def said(call, words, *keys):
    """Return a call after the caller's own words, and then keys."""
    return press(call.after(call.typed("call-sheet:complaint", words)), *keys)


def full_stops(subject):
    return {
        f.id
        for f in subject.knowledge.findings.values()
        if f.id in subject.findings and any(d.stop == "full" for d in f.dangers)
    }


def test_three_questions_cover_every_danger(begin, subject):
    call, denied = begin(), set()
    for number in (1, 2, 3):
        assert call.turn.heading == f"Danger first, question {number} of 3"
        event = call.turn.reply("n").event
        assert isinstance(event, Denied)
        denied |= set(event.findings)
        call = press(call, "n")
    assert full_stops(subject) <= denied
    assert call.turn.kind == "need"


def test_none_of_these_is_asked_one_by_one_by_who_is_not_sure(begin):
    call = press(begin(), "?")
    assert call.turn.kind == "question"
    assert "Do not try it" in text(press(call, "n").turn) + text(call.turn)
    assert press(call, "n", "n").turn.heading == "Danger first, question 2 of 3"


def test_a_danger_stops_the_call_and_tells_what_to_say_and_whom_to_send(begin):
    call = pick(begin(), "Tingle or shock")
    assert call.turn.kind == "danger"
    assert "Nobody touches taps" in text(call.turn)
    assert "Send for: Licensed electrician" in text(call.turn)
    where = press(call, "e")
    assert (where.turn.kind, where.turn.title) == ("field", "Who is calling?")
    call, _ = talk(call, Caller(call.talk.subject, "switch-contacts-burnt-open"))
    assert call.turn.title.startswith("P0 Danger: Tingle or shock")


def test_a_denial_by_phone_is_no_evidence(begin):
    call = press(begin(), *NO_DANGER)
    assert call.at.now.answers == ()
    assert "tingle" in call.at.denied


def test_needs_are_kept_and_several_can_be_told(begin):
    call = press(begin(), *NO_DANGER)
    call = pick(call, "A baby")
    call = pick(call, "Livestock")
    assert call.at.call_sheet["need"] == "infant, livestock"
    assert press(call, "").turn.kind == "reach"


def test_the_callers_words_find_the_complaint_and_stay_on_the_sheet(begin):
    call = said(start(begin), "no water at all since last night")
    assert call.at.call_sheet["complaint"] == "no water at all since last night"
    assert labels(call.turn)[0] == "No water at any tap"
    call = press(call, "1")
    assert call.at.said("no-water") == "yes"
    assert call.at.speaker == "caller"


def test_who_cannot_get_to_the_pump_is_asked_nothing_about_it(begin, subject):
    checks = subject.knowledge.checks
    call = said(start(begin, reach="n"), "no water", "1", "")
    for _ in range(20):
        asking = next_asking(call.talk, call.at)
        if asking is None:
            break
        assert checks[asking.candidate.check.id].work.place == "anywhere"
        call = press(call, "n")
    assert call.turn.kind == "field"


def test_a_question_gains_more_than_it_takes_and_the_best_comes_first(begin):
    call = said(start(begin), "no water", "1", "")
    best = next_asking(call.talk, call.at)
    assert best.gains()
    assert best.ahead + best.there > best.talk
    late = call.after(Told("creeping-onset", "no"))
    for finding in ("comes-and-goes", "weak-taps", "breaker-trips", "recovers-after-rest"):
        late = late.after(Told(finding, "no"))
    assert spent(late.talk, late.at) >= 1.0 + 5 * 0.2 - 1e-9
    asking = next_asking(late.talk, late.at)
    assert asking is None or asking.ahead > asking.talk or spent(late.talk, late.at) < TALK


@pytest.mark.parametrize("cause", ["low-pressure-cutoff-tripped", "jet-nozzle-clogged"])
def test_the_usual_call_is_short(begin, subject, cause):
    call, kinds = talk(begin(), Caller(subject, cause), "field")
    looks = sum(subject.knowledge.checks[name].work.minutes.value for name in call.at.done)
    assert spent(call.talk, call.at) - looks <= TALK + 0.75
    assert kinds.count("question") <= 10


def silent(begin, *more):
    """Return a call about a silent pump whose panel shows an open breaker."""
    told = (
        Told("no-water", "yes"),
        Told("motor-silent", "yes"),
        Told("found-breaker-or-fuse-open", "yes"),
    )
    return said(start(begin, *told, *more), "", "")


def test_a_restart_is_offered_only_once_water_is_known(begin):
    call = silent(begin)
    assert call.turn.heading == "Before “One breaker reset, by phone”"
    assert "level" in call.turn.title
    assert press(call, "n").turn.kind == "try"
    assert "One breaker reset" not in text(press(call, "?").turn)
    assert "One breaker reset" not in text(press(call, "y").turn)


@pytest.mark.parametrize("danger", ["tingle", "pump-hot", "water-in-pump-space", "burnt-smell"])
def test_no_restart_where_a_danger_was_told_even_when_it_is_safe_now(begin, danger):
    call = silent(begin, Told("cistern-low", "no"))
    assert call.turn.kind == "try"
    unsafe = call.after(Told(danger, "yes")).after(MadeSafe(danger))
    assert unsafe.turn.kind != "try"
    assert "by phone" not in unsafe.turn.heading


def test_no_restart_where_danger_was_not_asked_to_the_end(begin):
    call = silent(begin, Told("cistern-low", "no"))
    assert call.after(Told("pump-hot", "no")).turn.kind == "try"
    (entry,) = [e for e in call.entries if isinstance(e.event, Denied)][:1]
    without = tuple(e for e in call.entries if e.id != entry.id)
    assert begin().having(without[1:]).turn.kind == "dangers"


def walked(call):
    """Return a call after a procedure was walked to its end."""
    call = press(call, "")
    assert call.turn.kind == "walk"
    while call.turn.kind == "walk":
        call = press(call, "")
    return call


def test_a_reset_that_helped_closes_the_case(begin):
    call = walked(silent(begin, Told("cistern-low", "no")))
    assert call.turn.title.startswith("Was it done?")
    call = press(call, "y")
    assert isinstance(call.entries[-1].event, RepairDone)
    while call.turn.kind == "question":
        call = press(call, "n")
    assert call.turn.kind == "proof"
    call = press(call, "y")
    assert call.turn.kind == "solved"
    call = press(call, "d")
    assert call.over
    assert call.at.ended == "mended"


def test_there_is_one_restart_in_a_call(begin, subject):
    call = press(walked(silent(begin, Told("cistern-low", "no"))), "y")
    seen = []
    for _ in range(30):
        seen.append(text(call.turn))
        if call.turn.kind in {"field", "outcome"}:
            break
        keys = [r.key for r in call.turn.replies]
        told = "y" if "After the repair" in call.turn.heading else "n"
        call = press(call, next(k for k in (told, "n", "s", "d", "") if k in keys))
    assert call.turn.kind == "field"
    restarts = [
        p.title
        for p in subject.knowledge.procedures.values()
        if p.by_phone and p.by_phone.starts_pump
    ]
    assert not any(title in each for each in seen for title in restarts)
    assert call.talk.counsel
    assert call.outcome.by_phone < 0.3


def test_a_procedure_that_was_stopped_is_asked_about_and_not_offered_again(begin):
    call = press(silent(begin, Told("cistern-low", "no")), "")
    call = press(call, "x", "")
    assert call.turn.title.startswith("Was it done?")
    call = press(call, "n")
    assert "One breaker reset" not in text(call.turn)


def test_low_water_calls_for_switching_off_and_ordering(begin):
    call = said(start(begin, Told("no-water", "yes"), Told("cistern-low", "yes")), "", "")
    assert call.turn.title == "Water low in the cistern, by phone"
    call = walked(call)
    assert call.turn.title != "Water low in the cistern, by phone"


@pytest.fixture(scope="module")
def came_to(subject):
    """Return the call of a house with no water and a silent pump, and its outcome."""
    from faultnet.cases.events import Opened
    from tests.desk.callers import calling

    call = calling(
        subject,
        Opened("jet-pump-cistern", "caller", "caller"),
        Told("no-water", "yes"),
        Told("motor-silent", "yes"),
        CallTold("people", "4"),
        CallTold("water", "600 gal"),
        CallTold("drive", "35 min"),
        Passed("call-questions"),
    )
    return call, outcome_of(call.talk, call.at)


def test_the_outcome_says_what_the_engines_say(subject, came_to):
    call, outcome = came_to
    ranking = rank(subject, call.at.evidence)
    assert [c.id for c in outcome.causes] == [c.id for c in ranking.causes[:5]]
    assert outcome.causes[0].probability == pytest.approx(ranking.causes[0].probability)
    assert outcome.unlisted == pytest.approx(ranking.unlisted)
    outfit = Outfitting(subject, call.at.evidence)
    parts = {need.id: need.probability for need in outfit.parts}
    assert not outcome.rough
    assert outcome.parts
    for part in outcome.parts:
        assert part.probability == pytest.approx(parts[part.id])
    assert min(p.probability for p in outcome.parts) >= 0.02
    loading = FirstVisit(outfit).best(usual_truck(subject))
    assert outcome.first_visit[0].as_it_stands == pytest.approx(loading.begin)
    assert outcome.first_visit[0].with_list == pytest.approx(loading.fix)


def test_the_chance_by_phone_is_that_of_the_callers_repairs(subject, came_to):
    call, outcome = came_to
    mine = frozenset(
        r for r in subject.mended_by if subject.knowledge.repairs[r].work.who == "caller"
    )
    visit = FirstVisit(Outfitting(subject, call.at.evidence))
    waits = frozenset(("wait-for-supply", "close-and-stagger-the-draw"))
    assert outcome.by_phone == pytest.approx(visit.ends([mine & waits])[0])
    assert visit.ends([mine])[0] > outcome.by_phone


def test_water_left_is_gallons_over_what_people_use(came_to):
    # 50 to 100 gal per person and day: Penn State Extension, Water System Planning, 2022.
    _, outcome = came_to
    assert outcome.water.least_days == pytest.approx(600 / (4 * 100))
    assert outcome.water.most_days == pytest.approx(600 / (4 * 50))


def test_prices_are_those_of_the_rates(subject, came_to):
    _, outcome = came_to
    rates = subject.knowledge.rates
    assert outcome.prices.first_hour.money == rates.trip.value + rates.labour_per_hour.value
    assert outcome.prices.first_hour.judgement
    assert outcome.drive == 35.0


def test_time_on_site_leaves_the_specialist_out(subject, came_to):
    _, outcome = came_to
    assert 0.0 < outcome.site.usual <= outcome.site.long
    assert outcome.site.long < subject.system.specialist.minutes.value


def test_the_best_truck_comes_first(begin, subject):
    empty = Truck("empty", frozenset())
    usual = Truck("usual", usual_truck(subject))
    told = (Told("no-water", "yes"), Told("motor-silent", "yes"), Passed("call-questions"))
    outcome = begin(*told, trucks=(empty, usual)).outcome
    best, other = outcome.first_visit
    assert best.as_it_stands > other.as_it_stands
    assert best.truck == "usual"
    assert other.with_list > other.as_it_stands


def test_what_the_house_must_not_do_is_always_told(came_to):
    _, outcome = came_to
    assert any("cistern" in text for text in outcome.do_not)
    assert any("heater" in text for text in outcome.do)


def test_cycling_is_off_at_night_but_not_where_the_line_would_run_empty(begin):
    end = Passed("call-questions")
    night = "Switch the pump off at the panel overnight."
    cycles = Told("short-cycles-drawing", "yes")
    assert night in begin(cycles, end).outcome.do
    assert night not in begin(cycles, Told("prime-lost-overnight", "yes"), end).outcome.do


@pytest.mark.parametrize(
    ("field", "typed", "kept"),
    [
        ("people", "4", "4"),
        ("water", "600", "600 gal"),
        ("water", "2 m3", "528.344 gal"),
        ("drive", "0.5h", "30 min"),
    ],
)
def test_numbers_on_the_sheet_are_kept_with_their_unit(begin, field, typed, kept):
    assert begin().typed(f"call-sheet:{field}", typed) == CallTold(field, kept)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("people", "four"),
        ("people", "-2"),
        ("water", "1e99"),
        ("water", "10 psi"),
        ("drive", "nan"),
        ("access", "x" * 501),
    ],
)
def test_what_is_no_such_number_is_asked_again_with_the_reason(begin, field, typed):
    again = begin().typed(f"call-sheet:{field}", typed)
    assert isinstance(again, Turn)
    assert again.typed.what == f"call-sheet:{field}"
    assert any(line.kind == "caution" for line in again.lines)


def test_who_and_where_belong_to_the_site(begin):
    call = begin()
    assert call.typed("call-sheet:name", " Mill  at Orquay ") == Named(name="Mill at Orquay")
    assert call.typed("call-sheet:call-back", "0555 0101") == Named(contact="0555 0101")
    assert call.typed("call-sheet:name", "") == CallTold("name", "")


def test_any_field_can_be_filled_at_any_time(begin):
    call = begin()
    sheet = call.view("call-sheet:0")
    assert "Language: -" in labels(sheet)
    key = key_of(sheet, "Language: -")
    turn = call.view(sheet.reply(key).view)
    told = call.after(call.typed(turn.typed.what, "Dutch"))
    assert "Language: Dutch" in labels(told.view("call-sheet:0"))


def test_every_reply_on_the_sheet_has_a_key_of_its_own(begin):
    keys = [reply.key for reply in begin().view("call-sheet:0").replies]
    assert len(keys) == len(set(keys))
    assert {"Price told: -", "more"} & set(labels(begin().view("call-sheet:0")))


def test_the_visit_goes_on_with_all_of_it_and_asks_for_danger_anew(begin, subject):
    call = said(start(begin), "no water", "1", "")
    joined = ANNA.entry(call.id, Joined(), call.entries)
    visit = visit_of(subject, (*call.entries, joined), ANNA)
    assert visit.turn.kind == "handed-over"
    assert "Complaint: no water" in text(visit.turn)
    assert press(visit, "").turn.kind == "dangers"
    assert visit.at.call_sheet["complaint"] == "no water"
    assert visit.at.complaints == ("no-water",)
    assert [a.speaker for a in visit.at.now.answers] == ["caller"]


def test_the_forecast_is_noted_once(begin):
    call = begin(Told("no-water", "yes"), Passed("call-questions"))
    for field in ("name", "call-back", "address", "access", "people", "water", "drive"):
        call = call.after(CallTold(field, ""))
    assert call.turn.kind == "outcome"
    noted = call.to_note
    assert noted.causes
    assert call.after(noted).to_note is None


def test_the_outcome_is_plain_data(came_to):
    _, outcome = came_to
    shape = msgspec.to_builtins(outcome)
    assert shape["urgency"]["id"] == "P2"
    assert shape["site"]["usual"] == outcome.site.usual
