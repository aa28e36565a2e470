"""The closing sheet: a key adds a line, unfit text is refused, and one key leaves it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.cases.events import Event
from faultnet.cases.written import sheet_of
from faultnet.reckon.units import converted
from faultnet.visit.turn import Turn
from faultnet.visit.visit import visit_of
from tests.cases.people import NOON
from tests.visit.press import key_of, labels, opened, press, text, written

TODAY = datetime.fromtimestamp(NOON, UTC).astimezone().date()


def ended(small, *events, settings=None, proof="yes"):
    """Return a visit at its sheet, a valve renewed and the rest as told."""
    opening = e.Opened("small-pump", settings=settings or {})
    told = (e.Passed("dangers"), e.Denied(("tingle", "someone-in-pit", "never-stops")))
    work = (e.RepairDone("renew-valve"), e.Works(works=True), *told, e.Proved(proof))
    bruno = Writer("bruno@van", lambda: NOON)
    first = (e.Told("no-water", "yes"), *events, *work, e.Told("no-water", "no"))
    visit = visit_of(small, written(opening, *told, *first, by=bruno), bruno)
    assert visit.turn.kind == "sheet", visit.turn
    return visit


def follow(visit, *keys):
    """Return what keys lead to: the visit after an event, or the turn that is shown."""
    turn = visit.turn
    for key in keys:
        reply = turn.reply(key)
        assert reply is not None, f"no key {key!r} at {turn.title}"
        if reply.event is not None:
            visit = visit.after(reply.event)
            turn = visit.turn
        else:
            turn = visit.view(reply.view)
    return visit, turn


def type_in(visit, turn, text_):
    """Return the visit after text, or the turn that follows."""
    outcome = visit.typed(turn.typed.what, text_)
    return visit.after(outcome) if isinstance(outcome, Event) else outcome


def on_sheet(visit):
    return [each.entry.event for each in sheet_of(visit.at.case)]


@pytest.fixture
def visit(small):
    return ended(small)


def test_one_key_leaves_it_and_nothing_is_compulsory(visit):
    assert press(visit, "").turn.kind == "leave-safe"
    assert press(visit, "", "d").at.ended == "mended"
    assert press(visit, "", "u").turn == visit.turn


@pytest.mark.parametrize("how", [how for how in e.ENDS if not how.startswith("mended")])
def test_it_stands_before_every_other_end(fresh, how):
    visit = fresh.after(e.Denied(("tingle", "someone-in-pit"))).after(e.Ending(how))
    assert visit.turn.kind == "sheet"
    assert press(visit, "").turn.kind == "leave-safe"


def test_a_danger_comes_before_it(visit):
    assert visit.after(e.Told("tingle", "yes")).turn.kind == "danger"


def test_another_end_or_a_reopened_case_shows_it_again(visit):
    passed = press(visit, "")
    assert passed.after(e.Ending("temporary")).turn.kind == "sheet"
    again = press(passed, "d").after(e.Reopened()).after(e.Ending("referred"))
    assert again.turn.kind == "sheet"


def test_a_caller_is_not_asked(small):
    visit = opened(small, e.Opened("small-pump", "caller", "caller"))
    visit = visit.after(e.Denied(("tingle", "someone-in-pit"))).after(e.Ending("no-access"))
    assert visit.turn.kind == "leave-safe"


def test_a_part_of_the_repair_is_taken_by_its_key(visit):
    after, turn = follow(visit, "1", "1")
    assert on_sheet(after) == [e.Fitted("foot-valve")]
    assert "Fitted: foot valve" in text(turn)
    _, asked = follow(after, "1", "1")
    assert asked.typed is not None
    after = type_in(after, asked, "2, K-4471, K-4472")
    assert on_sheet(after) == [e.Fitted("foot-valve", 2, "K-4471, K-4472")]
    assert "Fitted: 2 x foot valve, serial number K-4471, K-4472" in text(after.turn)


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("check valve 1 in, 2, K-1", e.Fitted("", 2, "K-1", "check valve 1 in")),
        ("check valve 1 in", e.Fitted(text="check valve 1 in")),
        ("check valve, , K-1", e.Fitted("", 1, "K-1", "check valve")),
        ("Foot valve, 1, K-9", e.Fitted("foot-valve", 1, "K-9")),
    ],
)
def test_a_part_is_typed(visit, typed, line):
    _, turn = follow(visit, "1", "t")
    assert on_sheet(type_in(visit, turn, typed)) == [line]


def test_a_serial_number_alone_is_typed(visit):
    after, _ = follow(visit, "1", "1")
    _, turn = follow(after, "1", "1")
    assert on_sheet(type_in(after, turn, "4471")) == [e.Fitted("foot-valve", 1, "4471")]
    assert on_sheet(type_in(after, turn, "3,")) == [e.Fitted("foot-valve", 3)]


UNFIT = {
    "part": ["valve, two", "valve, 0, K", "valve, 1000", "valve, -1", ", 2, K", "---", "x" * 301],
    "serial:foot-valve": ["two, K", "0, K", "1.5, K", "...", "²,K"],
    "volume": ["lots", "1200psi", "-3gal", "0", "1e99gal", "1,200gal"],
    "dose": [
        "bleach",
        "bleach, some, 24h",
        "bleach, 99floz",
        "bleach, 99, 24h",
        "bleach, 99floz, long",
        "bleach, 99floz, 9day",
        "bleach, -1floz, 24h",
        ", 99floz, 24h",
    ],
    "time:bleach,99 floz": ["long", "0", "400h", "5gal"],
    "day:Next service": [
        "soon",
        "2027-02-30",
        "31.12.2027",
        "20270228",
        "2025-01-01",
        "2099-01-01",
    ],
    "unsafe-text": ["!"],
    "watch-text": ["?"],
    "due-text": ["--"],
    "licence": ["#"],
    "name:customer": ["..."],
}


@pytest.mark.parametrize(("what", "typed"), [(w, t) for w, texts in UNFIT.items() for t in texts])
def test_what_is_unfit_is_asked_again_with_the_reason(visit, what, typed):
    turn = visit.typed(f"sheet:{what}", typed)
    assert isinstance(turn, Turn)
    assert turn.typed is not None
    assert turn.typed.what == f"sheet:{what}"
    assert turn.lines[-1].kind == "caution"
    assert len(turn.lines[-1].text) > 20


@pytest.mark.parametrize("what", list(UNFIT))
def test_nothing_typed_goes_back(visit, what):
    assert visit.typed(f"sheet:{what}", "  ") == visit.turn


def test_the_disinfection_that_is_missing_is_told_until_it_is_written(visit):
    assert "disinfection: asked for" in labels(visit.turn)
    after = visit.after(e.Disinfected("bleach", "99 floz", 1440.0))
    assert "disinfection" in labels(after.turn)


def test_the_dose_is_worked_out_for_the_water_there_is(visit):
    _, turn = follow(visit, "2")
    assert "Nobody drinks the water" in text(turn)
    assert "Local codes" in text(turn)
    _, turn = follow(visit, "2", "1")
    turn = type_in(visit, turn, "1000gal")
    # Fluid ounces for 1,000 gal to 50 mg/L, by county tables: about 99 of 6 %, 72 of 8.25 %.
    shown = {
        label.split(" ")[0]: float(label.split(": ")[1].split(" ")[0]) for label in labels(turn)[:3]
    }
    assert shown["6"] == pytest.approx(99, abs=0.6)
    assert shown["8.25"] == pytest.approx(72, abs=0.6)
    assert shown["5.25"] == pytest.approx(113, abs=0.6)
    turn = visit.view(turn.reply("2").view)
    assert "local rule decides" in text(turn)
    turn = visit.view(turn.reply(key_of(turn, "24 h")).view)
    assert "Nobody drinks" in text(turn)
    after = visit.after(turn.reply("n").event)
    (line,) = on_sheet(after)
    assert line == e.Disinfected("bleach 6 %", line.dose, 1440.0)
    assert line.dose.startswith("98.8 fl oz (2.92 L)")
    assert "24 h of contact" in text(after.turn)


def test_the_water_of_the_site_is_taken_for_the_dose(small):
    visit = ended(small, settings={"water": "4.5m3"})
    _, turn = follow(visit, "2")
    gallons = converted(4.5, "m3", "gal")
    assert labels(turn)[0] == f"the dose for {gallons:g} gal of this site"
    turn = visit.view(turn.reply("1").view)
    assert "to 50 mg/L" in text(turn)
    unfit = ended(small, settings={"water": "9psi"})
    assert labels(follow(unfit, "2")[1])[0] == "work out the dose: how much water?"


def test_a_dose_of_ones_own_is_typed(visit):
    _, turn = follow(visit, "2", "t")
    turn = type_in(visit, turn, "tablets 70 %, 4 tablets, 90")
    after = visit.after(turn.reply("y").event)
    assert on_sheet(after) == [e.Disinfected("tablets 70 %", "4 tablets", 90.0, sampled=True)]
    assert "90 min of contact, sample taken" in text(after.turn)


def test_something_unsafe_and_whether_it_was_declined(visit):
    _, turn = follow(visit, "3", "1", "y")
    after, turn = follow(visit, "3", "1", "y")
    (line,) = on_sheet(after)
    assert line.declined
    assert f"Unsafe: {line.text}; the customer declined" in text(turn)
    assert line.text not in labels(follow(after, "3")[1])
    _, turn = follow(after, "3", "t")
    turn = type_in(after, turn, "Lid is a loose board")
    after = after.after(turn.reply("n").event)
    assert on_sheet(after)[1] == e.SafetyFinding("Lid is a loose board")


def test_what_to_watch_comes_from_the_chain_and_the_open_proof(small):
    visit = ended(small, e.Told("check-valve", "foot"), proof="later")
    _, turn = follow(visit, "4")
    assert labels(turn)[:2] == ["Proof still to come: Hold test passed.", "Air of the tank lost"]
    after, _ = follow(visit, "4", "2")
    assert on_sheet(after) == [e.Watch("Air of the tank lost")]
    assert "Air of the tank lost" not in labels(follow(after, "4")[1])


def test_what_is_due_has_a_day(small):
    visit = ended(small, proof="later")
    _, turn = follow(visit, "5")
    assert labels(turn)[0] == "Proof: Hold test passed."
    assert "Water sample, before anybody drinks" in labels(turn)
    after, _ = follow(visit, "5", "2", "2")
    week = TODAY + timedelta(days=7)
    assert on_sheet(after) == [e.NextDue("Water sample, before anybody drinks", week)]
    _, turn = follow(after, "5", "3", "t")
    after = type_in(after, turn, "2027-02-28")
    assert on_sheet(after)[1] == e.NextDue("Next service", date(2027, 2, 28))
    assert "Due 2027-02-28: Next service" in text(after.turn)


def test_what_an_ending_leaves_to_do_is_offered_with_a_day(fresh):
    visit = fresh.after(e.Denied(("tingle", "someone-in-pit"))).after(e.Ending("part-on-order"))
    assert labels(follow(visit, "5")[1])[0] == "Fit the part that is on order"


def test_licence_and_signatures(visit):
    _, turn = follow(visit, "6", "3")
    after = type_in(visit, turn, " LIC  204 ")
    _, turn = follow(after, "6", "1")
    after = type_in(after, turn, "Orla Finn")
    _, turn = follow(after, "6", "2")
    after = type_in(after, turn, "Bruno Reed")
    assert on_sheet(after) == [
        e.Licence("LIC 204"),
        e.Signed("Orla Finn", "customer"),
        e.Signed("Bruno Reed", "technician"),
    ]


LINES = (
    e.Fitted("foot-valve", 2, "K-1"),
    e.Disinfected("bleach", "99 floz", 1440.0),
    e.SafetyFinding("Lid is loose", declined=True),
    e.Watch("The gauge"),
    e.NextDue("Sample", date(2027, 2, 28)),
    e.Licence("LIC 204"),
    e.Signed("Orla Finn", "customer"),
)


@pytest.mark.parametrize("line", LINES)
def test_every_line_can_be_undone_and_struck_out(visit, line):
    after = visit.after(line)
    assert on_sheet(after) == [line]
    assert press(after, "u").turn == visit.turn
    more = after.after(e.Watch("Something else"))
    struck, _ = follow(more, "x", "1")
    assert on_sheet(struck) == [e.Watch("Something else")]


def test_a_later_line_about_the_same_takes_its_place(visit):
    for line in LINES:
        visit = visit.after(line)
    visit = visit.after(e.Fitted("foot-valve", 1, "K-9")).after(e.Licence("LIC 205"))
    visit = visit.after(e.SafetyFinding("Lid is loose"))
    told = on_sheet(visit)
    assert len(told) == len(LINES)
    assert e.Fitted("foot-valve", 1, "K-9") in told
    assert e.Licence("LIC 205") in told
    assert e.SafetyFinding("Lid is loose") in told


def test_the_summary_tells_the_sheet_and_what_ended_early(small):
    early = (
        e.ProcedureBegun("reading-the-gauge"),
        e.ProcedureStopped("reading-the-gauge", 0),
        e.ProcedureLeft("reading-the-gauge", 0),
        e.ProcedureBegun("reading-the-gauge"),
        e.ProcedureStopped("reading-the-gauge", 0),
        e.ProcedureBack("reading-the-gauge", 0),
        e.ProcedureLeft("reading-the-gauge", 0, "The phone rang"),
    )
    visit = ended(small, *early).after(e.Watch("The gauge"))
    summary = text(press(visit, "", "d").turn)
    assert "To watch: The gauge" in summary
    assert "Procedures that ended early:" in summary
    assert "step 1: The phone rang" in summary
    assert summary.count("Stopped: ") == 1
    assert summary.count("Left: ") == 1


@pytest.mark.parametrize(
    "view", ["sheet", "sheet:", "sheet:no", "sheet:name:pope", "sheet:sample:a"]
)
def test_a_view_that_is_not_there_is_an_error_that_pages_catch(visit, view):
    with pytest.raises((KeyError, ValueError)):
        visit.view(view)
