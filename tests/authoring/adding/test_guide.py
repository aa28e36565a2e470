"""The guide: every question says what it is for, answers are checked at once, one can go back."""

from functools import partial

import pytest

from faultnet.authoring.adding.addition import changes_of, new_problems
from faultnet.authoring.adding.asked import ASKED
from faultnet.authoring.adding.at_hand import AtHand
from faultnet.authoring.adding.cause import cause
from faultnet.authoring.adding.finding import check, finding
from faultnet.authoring.adding.question import Guide, UnfitError
from faultnet.authoring.forms.of_section import FORMS
from faultnet.authoring.problem import errors
from faultnet.authoring.whole import whole_of
from tests.authoring.conftest import GOOD

WHOLE = whole_of(GOOD)
KNOWLEDGE = WHOLE.judged()[0]


def find(section, text):
    """Return entries whose title holds the words."""
    titles = AtHand(KNOWLEDGE, find, WHOLE).titles(section)
    return [name for name, title in titles.items() if text.lower() in title.lower()]


class Talk:
    """A guide that is answered by the labels shown, typed text, or None for Enter."""

    def __init__(self, walk):
        self.guide = Guide(partial(walk, AtHand(KNOWLEDGE, find, WHOLE)))

    def say(self, *said):
        for each in said:
            question = self.guide.question
            assert question.title
            assert question.heading
            chosen = [
                option for option in question.options if option.label.startswith(each or "\0")
            ]
            if each is None:
                assert question.enter, question.title
                self.guide.answer(question.enter_value)
            elif chosen:
                self.guide.answer(chosen[0].value)
            else:
                assert question.prompt, (question.title, each, question.options)
                self.guide.answer(question.take(each))
        return self

    @property
    def title(self):
        return self.guide.question.title


NAMED = ("Suction", "Strainer clogged", "strainer-clogged")
TO_REPAIR = (*NAMED, "rare", "common practice", "no pressure", "No pressure", "often", None)


def test_a_cause_from_the_first_question_to_the_last():
    talk = Talk(cause).say(*TO_REPAIR, "Water", "Water below", None, None)
    talk.say("a new one", "Clean the strainer", "clean-strainer", "20", None, "technician")
    talk.say("locked out", "pipe", "pump", "Pressure", "on", None)
    talk.say("wrench, brush", "Open it.", "Brush it.", None, None, "strainer", "Runs.", None, None)
    talk.say("yes, a check that is there", "hold", "Hold test", "sometimes", None)
    talk.say(
        "yes", "Jet pump", "Leaves came in.", "leaves-came-in", "yes", None, "one of the first"
    )
    assert talk.guide.question is None
    answers = talk.guide.result
    assert answers["shows"] == {"no-pressure": "often"}
    assert answers["only-when"] == {"source-level": "below-pump"}
    assert answers["repairs"]["clean-strainer"]["set-ups"] == {"pressure-bled": "on"}
    assert answers["repairs"]["clean-strainer"]["steps"] == ["Open it.", "Brush it."]
    assert answers["looked-for-by"] == {"hold-test": "sometimes"}
    assert answers["cases"][0]["layout"] == {"source-level": "below-pump"}
    changes = changes_of("cause", answers, WHOLE, KNOWLEDGE)
    assert not errors(new_problems((), WHOLE, changes))


def test_a_finding():
    talk = Talk(finding).say(
        "Suction", "Noise as of gravel", "gravel-noise", "Does it rattle?", None
    )
    talk.say("no, little, much", "rarely", "a number", "0.01", "my own", None, "rattles, stones")
    talk.say("pipe", "Pipe cracked", "sometimes", "rarely", None)
    talk.say("one that is there", "hold", "Hold test")
    talk.say("yes", "Jet pump", "It rattled.", "it-rattled", "much", None, "one of the first")
    answers = talk.guide.result
    assert answers["cases"][0]["given"] == {"gravel-noise": "much"}
    assert answers["cases"][0]["expect"] == {"top-3": ["pipe-cracked"]}
    assert answers["shows-anyway"] == {"little": "rarely", "much": 0.01}
    assert answers["shown-by"] == {"pipe-cracked": {"little": "sometimes", "much": "rarely"}}
    assert not errors(new_problems((), WHOLE, changes_of("finding", answers, WHOLE, KNOWLEDGE)))


def test_a_check():
    talk = Talk(check).say("Suction", "Knock on it", "knock-on-it", "5", None, "technician")
    talk.say(None, None, None, None, None, None, None, "no pressure", "No pressure", None)
    assert talk.guide.result["reveals"] == ["no-pressure"]
    changes = changes_of("check", talk.guide.result, WHOLE, KNOWLEDGE)
    assert not errors(new_problems((), WHOLE, changes))


def test_back_and_on_another_way():
    talk = Talk(cause).say(*NAMED, "rare")
    assert "come from" in talk.title
    assert talk.guide.back()
    assert talk.title == "How common is it?"
    talk.guide.back()
    assert talk.title == "What is its id?"
    talk.say("strainer-full", "common")
    assert "come from" in talk.title
    while talk.guide.back():
        pass
    assert talk.title == "Which part does it belong to?"


@pytest.mark.parametrize(
    ("before", "typed", "said"),
    [
        (NAMED[:1], "", "Write something"),
        (NAMED[:1], "Climb into the cistern", "Nobody enters"),
        (NAMED[:2], "Not Kebab", "Write `not-kebab`"),
        (NAMED[:2], "pipe-cracked", "is taken: a cause at knowledge/parts/suction.yaml:28:3"),
        (NAMED[:2], "hold-test", "is taken: a check"),
        ((*NAMED, "a number"), "1.5", "from 0 to 1"),
        ((*NAMED, "a number"), "seldom", "Known here: common, occasional, rare"),
        (TO_REPAIR[:5], "zzz", "Nothing fits these words"),
    ],
)
def test_what_cannot_stand_is_told_at_once(before, typed, said):
    talk = Talk(cause).say(*before)
    with pytest.raises(UnfitError, match=said):
        talk.guide.question.take(typed)


def test_strengths_of_several_answers_are_looked_at_together():
    talk = Talk(cause).say(*TO_REPAIR[:5], "prime level", "Prime level", "often", "often")
    assert any("come to 1.3" in text for text in talk.guide.question.why)
    talk.say("often", "rarely", None)
    assert talk.title == "Which layout does it need?"


def test_what_is_unsafe_is_told_before_anything_else_is_asked():
    talk = Talk(cause).say(*TO_REPAIR, None, "a new one", "Clean the strainer", "clean-strainer")
    work = ("20", None, "technician", "on", "pipe", "pump", None, None, None, None)
    talk.say(*work)
    assert talk.title == "It cannot be done so."
    assert any("power" in text for text in talk.guide.question.why)
    talk.guide.back()
    assert talk.title == "What are the dangers?"
    talk.say(None, "answer once more")
    assert talk.title == "How many minutes of work?"
    talk.say("20", None, "technician", "locked out", "pipe", "pump", "Pressure", "on", *(None,) * 4)
    assert talk.title.startswith("Which parts does it take?")


def test_what_is_nearly_there_is_shown_first():
    talk = Talk(cause).say("Suction", "Pipe crackd", "pipe-crackd")
    assert talk.title == "Is it the same cause as one of these?"
    assert talk.guide.question.why == ("Pipe cracked (pipe-cracked)",)
    talk.say("yes, the same")
    assert (talk.guide.question, talk.guide.result) == (None, None)


def test_questions_are_about_keys_that_there_are():
    for section, key in ASKED:
        for form in (
            FORMS[s] for s in (("repairs", "checks") if section == "work" else (section,))
        ):
            assert form.keys[key].says
