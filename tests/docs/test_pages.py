"""Links lead somewhere, every command is told, and what pages claim about files is so."""

import re

import pytest

from faultnet.advice.outlooks import ANSWERS, FIRST_REPAIRS
from faultnet.advice.situation import EXAMINED, SHORTLIST, THOROUGH
from faultnet.advice.steps import SHOWN
from faultnet.authoring.library import read_knowledge
from faultnet.authoring.lint import FEWEST_CAUSES, MOST_CAUSES, causes_per_call
from faultnet.cli.table import COMMANDS
from tests.docs.pages import PAGES, README, ROOT, anchors, boxes, links, prose, text_of

KNOWLEDGE = read_knowledge(ROOT / "knowledge")[0]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    lost = []
    for link in links(page):
        where, _, anchor = link.partition("#")
        if where.startswith(("http:", "https:")):
            continue
        target = page.parent / where if where else page
        if not target.exists() or (anchor and anchor not in anchors(target)):
            lost.append(link)
    assert not lost


def test_every_page_is_reached_from_the_readme():
    reached = set()
    waiting = [README]
    while waiting:
        page = waiting.pop()
        if page in reached or page.suffix != ".md":
            continue
        reached.add(page)
        inside = (link.partition("#")[0] for link in links(page) if ":" not in link)
        waiting += [(page.parent / link).resolve() for link in inside]
    assert set(PAGES) <= reached


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_told(command):
    told = "\n".join(map(text_of, PAGES))
    assert re.search(rf"faultnet {command}\b", told)


def test_no_command_is_told_that_does_not_exist():
    named = {
        word
        for page in PAGES
        for word in re.findall(r"`faultnet ([a-z]+)\b", text_of(page))
        + re.findall(r"^\$ faultnet ([a-z]+)\b", text_of(page), re.MULTILINE)
    }
    assert named <= set(COMMANDS)


def test_readme_opens_with_the_job_in_one_paragraph():
    title, first, heading, *_ = prose(README).split("\n\n")
    assert title == "# faultnet"
    assert heading.startswith("## ")
    for word in ("technician", "cellar", "jet pump", "pressure", "ranks", "step"):
        assert word in first


def test_readme_has_two_commands_each_on_one_line():
    main_job, test = (box.strip() for box in boxes(README, "sh"))
    assert "\n" not in main_job + test
    assert "faultnet rank" in main_job
    assert "faultnet next" in main_job
    assert "pytest" in test


def test_the_examination_runs_the_test_command_of_the_readme():
    (command,) = (box.strip() for box in boxes(README, "sh") if "pytest" in box)
    lines = [line.strip() for line in text_of(ROOT / ".ci/run").splitlines()]
    assert lines.count(command) == 1


def test_how_common_numbers_come_to_what_the_page_says():
    told = prose(ROOT / "docs/how-the-numbers-were-set.md")
    assert f"{FEWEST_CAUSES} to {MOST_CAUSES}" in told
    for system in KNOWLEDGE.systems.values():
        assert FEWEST_CAUSES <= causes_per_call(system, KNOWLEDGE) <= MOST_CAUSES


def test_circumstances_on_a_cause_are_few_and_strong_as_the_page_says():
    for cause in KNOWLEDGE.causes.values():
        factors = [f for f in cause.likelier_when if f.about in KNOWLEDGE.circumstances]
        assert len(factors) <= 2, cause.id
        assert all(f.factor.value >= 3 for f in factors), cause.id


def test_words_have_the_numbers_that_the_page_says():
    told = prose(ROOT / "docs/how-the-numbers-were-set.md")
    for table in (KNOWLEDGE.words.likelihood, KNOWLEDGE.words.how_common):
        for word, number in table.items():
            assert f"| `{word}` | {number.value:g} |" in told
    for speaker, trust in KNOWLEDGE.words.trust.items():
        assert f"| {speaker} | {trust.hit.value:g} | {trust.false_alarm.value:g} |" in told


def test_the_planner_counts_as_the_page_says():
    told = prose(ROOT / "docs/how-it-thinks.md")
    for line in (
        f"| checks examined | {EXAMINED[0]} | {THOROUGH} |",
        f"| joint answers of a check | {ANSWERS} | {ANSWERS} |",
        f"| repairs in a sequence | {SHORTLIST} | {SHORTLIST} |",
        f"| checks shown | {SHOWN} | all examined |",
        f"| repairs shown | {FIRST_REPAIRS} | {FIRST_REPAIRS} |",
    ):
        assert line in told


def test_every_dependency_is_told():
    import tomllib

    project = tomllib.loads(text_of(ROOT / "pyproject.toml"))["project"]
    needed = [*project["dependencies"], *project["optional-dependencies"]["dev"]]
    told = prose(ROOT / "docs/dependencies.md")
    for name in (re.split(r"[\[<>=]", entry)[0] for entry in needed):
        assert f"**{name}**" in told
