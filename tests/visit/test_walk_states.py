"""A walked procedure makes and undoes set-ups of the visit, and its tries are counted."""

from faultnet.cases import events as e
from tests.visit.press import opened, press, text

CISTERN = (e.Opened("jet-pump-cistern"), e.Passed("as-found"), e.Passed("layout"))


def walking(shipped, procedure):
    return press(opened(shipped, *CISTERN, e.ProcedureBegun(procedure)), "n")


def step_of(shipped, procedure, words):
    steps = shipped.knowledge.procedures[procedure].steps
    return next(n for n, step in enumerate(steps) if words in step.do)


def test_what_a_step_makes_counts_for_the_visit(shipped):
    visit = walking(shipped, "lock-out")
    proved = step_of(shipped, "lock-out", "proved dead")
    for number in range(proved):
        visit = visit.after(e.ProcedureStepDone("lock-out", number))
    assert visit.at.made == ()
    visit = visit.after(e.ProcedureStepDone("lock-out", proved))
    assert visit.at.made == ("power-locked-out",)
    visit = visit.after(e.Passed("seen")).after(e.Passed("take-along"))
    left = visit.after(e.ProcedureLeft("lock-out", proved + 1, "called away"))
    assert left.at.made == ("power-locked-out",)
    # What it has made needs not be set up again, and is undone in the end.
    begun = left.after(e.StepBegun("prime-level-test"))
    assert begun.turn.kind in {"set-up", "do"}
    assert begun.turn.title != "Power locked out"
    ended = left.after(e.Ending("declined"))
    assert "Undo: Power locked out." in text(ended.turn)


def test_what_it_undoes_is_undone(shipped):
    visit = walking(shipped, "lock-out")
    for number in range(len(shipped.knowledge.procedures["lock-out"].steps)):
        visit = visit.after(e.ProcedureStepDone("lock-out", number))
    assert visit.at.made == ()
    assert visit.at.walk.procedure == ""


def test_an_undone_step_makes_nothing(shipped):
    visit = walking(shipped, "priming").after(e.ProcedureStepDone("priming", 0))
    assert visit.at.made == ("power-locked-out",)
    assert visit.after(e.Undone(visit.last.id)).at.made == ()


def test_tries_are_counted_to_the_last(shipped):
    visit = walking(shipped, "restart")
    number = step_of(shipped, "restart", "try once more")
    for before in range(number):
        visit = visit.after(e.ProcedureStepDone("restart", before))
    assert "Try 1 of 3." in text(visit.turn)
    visit = press(visit, "r")
    assert "Try 2 of 3." in text(visit.turn)
    visit = press(visit, "r")
    assert "Try 3 of 3: the last one. After it, stop here." in text(visit.turn)
    assert visit.turn.reply("r") is None
    assert visit.turn.reply("x") is not None


def test_a_set_up_has_its_procedure_at_the_head_of_how_to(shipped):
    visit = opened(shipped, *CISTERN, e.StepBegun("prime-level-test"))
    visit = press(visit, "n")
    first = visit.view("how:").replies[0]
    assert first.label == shipped.knowledge.procedures["lock-out"].title
