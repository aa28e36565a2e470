"""What changed in the files: by what it means, never by how it is written."""

import pytest

from faultnet.review.compare.told import comparison_told


def told(comparison):
    """Return the changes as (kind, id, what), and the keys as (key, old, new)."""
    entries = [(c.kind, c.id, c.what) for c in comparison.changes]
    keys = [(k.key, k.old, k.new) for c in comparison.changes for k in c.keys]
    return entries, keys


def test_the_same_files_say_the_same(compared):
    found = compared(calls=10)
    assert (found.changes, found.differences, found.answers_asked) == ((), (), False)
    assert (found.cases.asked, found.calls.asked) == (0, 0)


def test_order_comments_and_layout_of_files_say_nothing(compared, new):
    first, second = "    title: Foot valve leaks\n", "    how-common: common\n"
    new.replace(first + second, f"    # As it comes first.\n{second}\n{first}")
    new.replace("[wrench]", "\n      - wrench")
    new.replace("reveals: [prime-falls, source-level]", "reveals: [source-level, prime-falls]")
    path = new.folder / "parts" / "suction.yaml"
    head, _, tail = path.read_text().partition("  prime-lost:\n")
    cause, _, rest = tail.partition("  pipe-cracked:\n")
    cracked, _, others = rest.partition("\nfindings:")
    path.write_text(f"{head}  pipe-cracked:\n{cracked}\n  prime-lost:\n{cause}\nfindings:{others}")
    assert not compared().changes


@pytest.mark.parametrize(
    ("old_text", "new_text", "entry", "key"),
    [
        (
            "how-common: rare",
            "how-common: 0.03",
            ("cause", "pipe-cracked", "changed"),
            ("how-common", "rare (judgement)", "0.03 (judgement)"),
        ),
        (
            "slowly: 0.6",
            "slowly: 0.5",
            ("cause", "foot-valve-leaks", "changed"),
            (
                "shows.prime-falls",
                "0.6 (judgement), 0.2 (practice, pipe-handbook)",
                "0.5 (judgement), 0.2 (practice, pipe-handbook)",
            ),
        ),
        (
            "after-freeze: 20",
            "after-freeze: {is: 20, from: memory}",
            ("cause", "pipe-cracked", "changed"),
            ("likelier-when.after-freeze=yes", "20 (judgement)", "20 (memory)"),
        ),
        (
            "minutes: 75",
            "minutes: 90",
            ("repair", "renew-foot-valve", "changed"),
            ("minutes", "75 (judgement)", "90 (judgement)"),
        ),
        (
            "{strength: often, false-alarm: 0.05}",
            "{strength: often, false-alarm: 0.06}",
            ("check", "look-at-prime", "changed"),
            ("looks-for.foot-valve-leaks.false-alarm", "0.05 (judgement)", "0.06 (judgement)"),
        ),
        (
            "{foot-valve-leaks: almost-always, pipe-cracked: often}",
            "{foot-valve-leaks: almost-always, pipe-cracked: rarely}",
            ("check", "lift-the-line", "changed"),
            ("looks-for.pipe-cracked", "often (judgement)", "rarely (judgement)"),
        ),
        (
            "Switch off at the panel.",
            "Switch off.",
            ("finding", "tingle", "changed"),
            ("dangers.yes.say", "Switch off at the panel.", "Switch off."),
        ),
    ],
)
def test_a_value_that_changed(compared, new, old_text, new_text, entry, key):
    new.replace(old_text, new_text)
    assert told(compared()) == ([entry], [key])


def test_places_of_both_sides_are_told(compared, new):
    new.replace("title: Suction line\n", "title: Suction line\n\n\n").replace("rare\n", "0.03\n")
    (change,) = compared().changes
    assert change.place == "knowledge/parts/suction.yaml:30:3"
    (key,) = change.keys
    assert key.old_place == "knowledge/parts/suction.yaml:30:17"
    assert key.new_place == "knowledge/parts/suction.yaml:32:17"


def test_the_number_of_a_word_is_told_once(compared, new):
    new.replace("often: 0.65", "often: 0.5", "words.yaml")
    entries, keys = told(compared())
    assert entries == [("words", "words", "changed")]
    assert [key for key, _, _ in keys] == ["likelihood.often"]


def test_added_and_removed(compared, new):
    new.replace(
        "  no-sound:\n",
        "  odd-smell:\n    title: Odd smell\n    ask: Does it smell?\n"
        "    shows-anyway: 0.01\n  no-sound:\n",
    )
    new.replace("tingle: rarely}\n    repair", "tingle: rarely, odd-smell: often}\n    repair")
    entries, keys = told(compared())
    assert entries == [("cause", "pipe-cracked", "changed"), ("finding", "odd-smell", "added")]
    assert keys == [("shows.odd-smell", "", "often (judgement)")]


def test_a_new_name_is_told_once_and_changes_no_answer(compared, new):
    path = new.folder / "parts" / "suction.yaml"
    path.write_text(path.read_text().replace("pipe-cracked", "pipe-is-cracked"))
    new.replace("pipe-cracked", "pipe-is-cracked", "parts/suction.cases.yaml")
    found = compared(calls=12)
    assert told(found) == ([("cause", "pipe-is-cracked", "renamed")], [])
    assert found.changes[0].was == "pipe-cracked"
    assert not found.answers_asked


def test_a_new_name_that_the_files_tell_is_told_with_what_else_changed(compared, new):
    for file in ("parts/suction.yaml", "parts/suction.cases.yaml"):
        new.replace("pipe-cracked", "yard-line-split", file)
    new.replace("title: Pipe cracked", "title: Line split in the yard")
    new.replace("how-common: rare\n    likelier", "how-common: 0.05\n    likelier")
    new.replace("after-freeze: 20", "after-freeze: 12")
    new.replace("no-pressure: often, tingle: rarely", "no-pressure: sometimes")
    new.replace("    note: Seen after frost.\n", "")
    entries, _ = told(compared())
    assert {("cause", "pipe-cracked", "removed"), ("cause", "yard-line-split", "added")} <= {
        *entries
    }
    (new.folder / "renamed.yaml").write_text(
        "causes:\n  pipe-broke: {to: pipe-cracked}\n  pipe-cracked: {to: yard-line-split}\n"
    )
    found = compared(calls=2)
    entries, keys = told(found)
    assert entries == [("cause", "yard-line-split", "renamed")]
    assert ("likelier-when.after-freeze=yes", "20 (judgement)", "12 (judgement)") in keys
    assert ("shows.tingle", "rarely (judgement)", "") in keys
    assert (found.changes[0].was, found.changes[0].said) == ("pipe-cracked", True)
    assert not any(each.left_out for each in found.differences)
    shown = " ".join(each.text for each in comparison_told(found, 0))
    assert "cause yard-line-split: pipe-cracked, renamed" in shown


def test_answers_are_compared_across_a_new_name(compared, new):
    new.replace("how-common: 0.01", "how-common: 0.02")
    plain = compared(calls=4)
    path = new.folder / "parts" / "suction.yaml"
    path.write_text(path.read_text().replace("pipe-cracked", "pipe-is-cracked"))
    new.replace("pipe-cracked", "pipe-is-cracked", "parts/suction.cases.yaml")
    renamed = compared(calls=4)
    assert {c.what for c in renamed.changes} == {"renamed", "changed"}
    assert not any(each.left_out for each in renamed.differences)
    for one, other in zip(plain.differences, renamed.differences, strict=True):
        assert one.id == other.id
        assert one.first.new.replace("pipe-c", "pipe-is-c") == other.first.new
        assert one.first.old.replace("pipe-c", "pipe-is-c") == other.first.old
        assert abs(one.moved.by - other.moved.by) < 1e-9


@pytest.mark.parametrize(
    ("old_text", "new_text", "answers", "steps"),
    [
        ("note: Seen after frost.", "note: Seen in frost.", False, False),
        ("steps: [Open the drain until it stops.]", "steps: [Open the drain.]", False, False),
        ("how-common: rare", "how-common: 0.03", True, False),
        ("minutes: 75", "minutes: 90", True, True),
        (
            "repair: prime-again\n    audit: no",
            "repair: renew-foot-valve\n    audit: no",
            True,
            True,
        ),
    ],
)
def test_what_bears_on_answers(compared, new, old_text, new_text, answers, steps):
    new.replace(old_text, new_text)
    changes = compared().changes
    assert any(change.bears_on_answers for change in changes) == answers
    assert any(change.bears_on_steps for change in changes) == steps
