"""What stands in the report: all that the case holds, nothing that it does not."""

import re

import pytest

from faultnet.advice.ranking import rank
from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.report.rankings import SHOWN
from tests.cases.people import Person, together
from tests.report.conftest import called, mends
from tests.report.reading import Paper

RANKINGS = "Ranking before arrival and after each step"
WATER = "Disinfection and drinking water"
HOLD = "Gauge read twice"


def test_the_customers_copy(small, mended):
    entries, site = mended
    paper = Paper(small, entries, site)
    assert paper.facts["Site"] == "Mill at Orquay"
    assert paper.facts["Begun"] == paper.facts["Closed"] == "2026-03-04 (UTC)"
    assert paper.facts["Result"] == "Mended and proved"
    assert paper["The complaint as told"][0] == "Does it run on and on? Yes."
    assert "Gauge falls" in paper["What was found"]
    assert f"{HOLD} | start 50 psi, end 41 psi, 15 min, a fall of 9 psi" in paper["What was found"]
    (settled,) = paper["Cause, and what settled it"]
    assert settled.startswith("Valve leaks. Settled by the repair: “Renew the valve”")
    assert "Hold test passed." in settled
    assert (
        "2026-03-04 | Renew the valve | foot valve | works as it should; proved"
        in (paper["Work and parts"])
    )
    assert "Does it run on and on? | yes | no" in paper["Before and after"]
    assert any("a fall of 9 psi | " in line for line in paper["Before and after"])
    assert "coliform" in paper[WATER][0]
    assert paper["Safety"] == ["The pump never stops: met, and noted as dealt with."]
    assert "Does it run on and on? Yes." in paper["What to watch"]
    assert "Valve leaks can lead to: Air of the tank lost" in paper["What to watch"]
    assert "A water sample, before the water is drunk." in paper["Next due"]


def test_the_customers_copy_has_no_ids_no_chances_and_no_notes(small, mended):
    entries, site = mended
    paper = Paper(small, entries, site)
    assert "%" not in paper.text
    assert "dog" not in paper.text
    assert RANKINGS not in paper.sections
    assert "@" not in paper.text
    known = small.knowledge
    ids = {*known.causes, *known.findings, *known.repairs, entries[0].log, site.id}
    assert not [name for name in ids if "-" in name and name in paper.text]


def test_the_offices_copy_has_the_rankings(small, mended):
    entries, site = mended
    paper = Paper(small, entries, site, "office")
    assert paper.facts["Case"] == entries[0].log
    assert (
        "The pump never stops: Ring twice, the dog is deaf [Rosa, 2026-03-04]"
        in (paper["Notes and pictures"])
    )
    after = [line.split(" | ")[0] for line in paper[RANKINGS]]
    assert after == [
        *("The call, before arrival", "What was seen on arrival"),
        *("Done: Hold test", "Done: Renew the valve"),
    ]
    assert "cut in | 30 psi" in paper["The installation"]


@pytest.mark.parametrize(("row", "until"), [(0, e.Joined), (2, e.RepairDone)])
def test_a_ranking_is_that_of_the_case_at_that_time(small, mended, row, until):
    entries, site = mended
    end = next(k for k, each in enumerate(entries) if isinstance(each.event, until))
    ranking = rank(small, fold(small, entries[:end]).evidence)
    told = Paper(small, entries, site, "office")[RANKINGS][row]
    shown = [float(p) for p in re.findall(r"(\d+)%", told.split(" | ")[1])]
    chances = [100 * c.probability for c in ranking.causes[:SHOWN]]
    chances = [c for c in (*chances, 100 * ranking.unlisted) if c >= 1]
    assert [p for p in shown if p > 1] == pytest.approx([c for c in chances if c > 1.5], abs=0.51)
    assert told.split(" | ")[1].startswith(ranking.causes[0].title)


def test_what_was_undone_stands_nowhere(small):
    _, bruno = called()
    wrong = bruno.writes(e.Joined(), e.StepDone("look-at-prime"), e.Told("prime-falls", "quickly"))
    bruno.writes(e.Undone(wrong.id), e.Told("prime-falls", "no"))
    paper = Paper(small, bruno.seen, None, "office")
    assert "quickly" not in paper.text
    assert "Prime level falls: no" in paper["What was found"]
    clean = Person("Bruno", bruno.writer.clock)
    clean.hears(called()[0])
    clean.writes(e.Joined(), e.StepDone("look-at-prime"), e.Told("prime-falls", "no"))
    again = Paper(small, clean.seen, None, "office")
    assert again[RANKINGS] == paper[RANKINGS]


def test_a_repair_that_did_not_help_settles_nothing(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.RepairDone("set-the-air"), e.Works(works=False))
    paper = Paper(small, bruno.seen)
    stayed, settled = paper["Cause, and what settled it"]
    assert stayed.startswith("“Set the air of the tank” did not end the trouble")
    assert settled == "The cause has not been settled."
    assert "does not call for disinfection" in paper[WATER][0]
    assert (
        "Nothing was measured or told as wrong both before and after the work."
        in paper["Before and after"]
    )


def test_a_cause_that_was_seen_names_the_check(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.StepDone("measure-supply"), e.Told("found-no-power", "yes"))
    paper = Paper(small, bruno.seen)
    assert paper["Cause, and what settled it"] == ["Power is off. Seen at: Measure the supply."]


def test_of_several_causes_that_a_repair_mends_none_is_claimed(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.RepairDone("restore-power"), e.Works(works=True), e.Ended("mended"))
    (told,) = Paper(small, bruno.seen)["Cause, and what settled it"]
    assert told.endswith(
        "It was not seen which of these faults was there: Power is off; Wire laid bare."
    )


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("a snail in the jet", "In the technician's words: “a snail in the jet”. It is in no list"),
        ("", "Something that is in no list of faults. Seen by the technician."),
    ],
)
def test_what_is_in_no_file_is_told_as_it_was_seen(small, words, first):
    _, bruno = called()
    seen = e.Confirmed("", 0, unlisted=True, text=words)
    bruno.writes(e.Joined(), e.RepairDone("restore-power"), seen, e.Works(works=True))
    told, settled = Paper(small, bruno.seen)["Cause, and what settled it"]
    assert told.startswith(first)
    assert settled == "“Restore the power” ended the trouble."


def test_a_danger_that_was_not_dealt_with_is_a_warning(small):
    rosa, _ = called()
    rosa.writes(e.Told("tingle", "yes"), e.Ended("declined"))
    paper = Paper(small, rosa.seen)
    safety = next(s for s in paper.document.sections if s.title == "Safety")
    warned = [block.text for block in safety.blocks if getattr(block, "warning", False)]
    assert warned[0].startswith("Tingle or shock: not noted as dealt with. Nobody touches")
    assert warned[-1] == "The customer declined the work."
    assert "The work was declined by the customer and is still to be done." in paper["Next due"]


def test_a_danger_taken_back_is_none(small):
    rosa, _ = called()
    rosa.writes(e.Told("tingle", "yes"), e.TakenBack("tingle", 0))
    assert not [line for line in Paper(small, rosa.seen)["Safety"] if "Tingle" in line]


def test_the_proof_that_is_open_is_due(small):
    _, bruno = called()
    mends(bruno, proof="later")
    paper = Paper(small, bruno.seen)
    assert "Proof to be taken: Hold test passed." in paper["Next due"]
    assert "works as it should; still to be proved" in paper["Work and parts"][0]


def test_a_set_up_that_stands_is_told(small):
    _, bruno = called()
    bruno.writes(e.Joined(), e.SetUpMade(("power-locked-out",)))
    assert "Power locked out" in Paper(small, bruno.seen)["Safety"]


def test_a_case_with_nothing_in_it(small):
    anna = Person("Anna")
    anna.opens(e.Opened("small-pump"))
    for audience in ("customer", "office"):
        paper = Paper(small, anna.seen, None, audience)
        assert paper.facts["Result"] == "The case is still open"
        assert paper["What was found"] == ["Readings: not taken."]
        assert paper["Work and parts"] == ["No repair was done."]
        assert paper["Cause, and what settled it"] == ["The cause has not been settled."]
        assert paper["Safety"] == ["No danger was noted."]


def test_what_is_missing_is_told_first(small):
    rosa, bruno = called()
    rosa.writes(e.Told("clicks", "yes"))
    bruno.writes(e.Joined(), e.Told("gauge-falls", "yes"), e.Told("no-such-thing", "yes"))
    late = [each for each in together(rosa, bruno) if each.event != e.Told("gauge-falls", "yes")]
    title, *_ = Paper(small, late, unread=2).sections
    assert title == "This report is not complete"
    told = "\n".join(Paper(small, late, unread=2)[title])
    assert "2 event(s) could not be read" in told
    assert "1 event(s) no longer fit" in told
    assert "1 event(s) of somebody else" in told


def test_what_people_say_differently_stands_in_the_offices_copy(small):
    rosa, bruno = called()
    rosa.writes(e.Told("check-valve", "foot"))
    bruno.writes(e.Joined(), e.Told("check-valve", "in-line"))
    paper = Paper(small, together(rosa, bruno), None, "office")
    (told,) = paper["Told differently"]
    assert "Rosa" in told
    assert "Bruno" in told


def test_a_visit_without_a_call_begins_with_what_was_said_at_the_pump(small):
    anna = Person("Anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(e.Told("no-water", "yes"), e.StepDone("listen"), e.Told("clicks", "yes"))
    paper = Paper(small, anna.seen)
    assert paper["The complaint as told"] == [
        "As told or seen at the pump, before any step:",
        "Does no water come? Yes.",
    ]
    assert "Does no water come? Yes." not in paper["What was found"]
    assert "Does the pump click on and off? Yes." in paper["What was found"]


@pytest.mark.parametrize(
    ("events", "told"),
    [
        (
            (e.Told("tingle", "yes"), e.MadeSafe("tingle"), e.Told("tingle", "yes")),
            "met, and noted",
        ),
        ((e.Told("tingle", "yes"), e.Told("tingle", "no")), "not there when"),
        ((e.Told("tingle", "yes"), e.Told("tingle", "no", "caller")), "not noted as dealt with"),
        (
            (
                *(e.Told("tingle", "yes"), e.MadeSafe("tingle"), e.RepairDone("restore-power")),
                e.Told("tingle", "yes"),
            ),
            "not noted as dealt with",
        ),
    ],
)
def test_how_a_danger_stands(small, events, told):
    anna = Person("Anna")
    anna.opens(e.Opened("small-pump"))
    anna.writes(*events)
    (line,) = [text for text in Paper(small, anna.seen)["Safety"] if "Tingle" in text]
    assert told in line
    assert line.count("not noted") == told.count("not noted")


def test_a_danger_that_whoever_made_safe_had_not_heard_of_stays_open(small):
    rosa, bruno = called()
    rosa.writes(e.Told("tingle", "yes"))
    bruno.writes(e.Joined(), e.Told("tingle", "yes"), e.MadeSafe("tingle"))
    (line,) = [t for t in Paper(small, together(rosa, bruno))["Safety"] if "Tingle" in t]
    assert "not noted as dealt with" in line


def test_the_arrival_what_was_agreed_and_what_was_put_off(small):
    _, bruno = called()
    bruno.writes(
        e.Joined(),
        e.Tried("restore-power", outcome="nothing"),
        e.Tried(text="kicked it"),
        e.StepSkipped("hold-test", "no-tool"),
        e.StepSkipped("listen"),
        e.OwnViewFirst(),
        e.Suspected("no-power"),
        e.Agreed("renew-valve", 310.4, "USD", "the miller"),
    )
    customer, office = Paper(small, bruno.seen), Paper(small, bruno.seen, audience="office")
    assert customer["As found on arrival"] == [
        "Tried before: Restore the power: no change",
        "Tried before: kicked it",
    ]
    assert customer["Agreed before the work"] == [
        "Renew the valve: about 310 USD, agreed by the miller"
    ]
    assert "Steps put off" not in customer.sections
    assert office["Steps put off"] == ["Put off: Hold test (a tool is not here)"]
    assert office["Suspected before the ranking was shown"] == ["Suspected: Power is off"]
