"""Cases beside the knowledge become evidence and expectations."""

from pathlib import Path

from faultnet.authoring.examples import read_examples
from faultnet.authoring.library import read_knowledge
from faultnet.model.evidence import Answer, Taken
from faultnet.model.example import Example

GOOD = Path(__file__).parent / "knowledge"
CASE = """cases:
  - id: told-by-phone
    system: jet-pump
    reason: For the test.
    by: caller
    made-safe: [tingle]
    given: {no-water: yes, after-freeze: yes}
    rounds:
      - {given: {no-sound: no}, readings: {hold: {start: 50, end: 44, minutes: 15}}}
      - given: {gauge-falls: cannot}
        mended: prime-again
        redraws: [no-water]
        spoiled: [no-sound]
    expect: {danger: tingle, next: [prime-again, listen]}
"""


def read(folder: Path) -> dict[str, Example]:
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    examples, problems = read_examples(folder, knowledge)
    assert problems == ()
    return {each.id: each for each in examples}


def test_one_round() -> None:
    example = read(GOOD)["leaking-valve"]
    evidence = example.evidence
    assert evidence.now.answers == (Answer("prime-falls", "slowly", "technician"),)
    assert evidence.now.taken == (Taken("hold", {"start": 50, "end": 44, "minutes": 15}),)
    assert evidence.layout == {"source-level": "below-pump"}
    assert evidence.circumstances == {"after-freeze": False}
    assert evidence.set_ups == ("house-valve-shut",)
    expect = example.expect
    assert expect.within == {3: ("foot-valve-leaks",)}
    assert expect.before == (("foot-valve-leaks", "pipe-cracked"),)
    assert expect.at_least == {"foot-valve-leaks": 0.1}
    assert example.provenance == ("judgement",)
    assert str(example.origin) == "knowledge/parts/suction.cases.yaml:3:5"


def test_rounds_and_nearer_origin() -> None:
    example = read(GOOD)["still-leaking"]
    first, second = example.evidence.rounds
    assert first.repairs == ("prime-again",)
    assert second.answers == (Answer("prime-falls", "yes", "technician"),)
    assert example.expect.first == ("foot-valve-leaks",)
    assert example.provenance == ("practice",)


def test_what_stands_above_the_rounds_belongs_to_the_first(folder: Path) -> None:
    (folder / "systems/more.cases.yaml").write_text(CASE, encoding="utf-8")
    example = read(folder)["told-by-phone"]
    first, second, third = example.evidence.rounds
    assert first.answers == (
        Answer("no-water", "yes", "caller"),
        Answer("no-sound", "no", "caller"),
    )
    assert second.answers == (Answer("gauge-falls", "cannot", "caller"),)
    assert (second.repairs, second.redraws) == (("prime-again",), ("no-water",))
    assert second.spoiled == ("no-sound",)
    assert example.evidence.made_safe == ("tingle",)
    assert third == type(third)()
    assert example.evidence.circumstances == {"after-freeze": True}
    assert (example.expect.danger, example.provenance) == ("tingle", ())


def test_a_bad_case_leaves_the_others(folder: Path) -> None:
    bad = CASE.replace("prime-again, listen", "prime-agian")
    (folder / "more.cases.yaml").write_text(bad, encoding="utf-8")
    knowledge, _ = read_knowledge(folder)
    assert knowledge is not None
    examples, problems = read_examples(folder, knowledge)
    assert [each.id for each in examples] == ["leaking-valve", "still-leaking"]
    assert [(each.code, each.entity) for each in problems] == [("unknown-id", "told-by-phone")]
