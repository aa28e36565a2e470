"""The tutorial comes out as it says, step by step, and leaves nothing to mend."""

import json

import pytest

from tests.docs.pages import text_of
from tests.docs.shell import shell_in
from tests.docs.tutorial import PAGE, agrees, boxes_of, done


@pytest.fixture(scope="module")
def played(tmp_path_factory):
    run, folder = shell_in(tmp_path_factory.mktemp("tutorial"), knowledge=False)
    return run, list(done(text_of(PAGE), folder, run))


def test_every_answer_is_as_it_is_shown(played):
    for each in played[1]:
        assert each.exits == each.exit_shown, f"{each.commands}{each.came}"
        assert agrees(each.shown.text, each.came), f"{each.commands}{each.came}"


def test_all_steps_of_the_work_are_there(played):
    typed = "".join(each.commands for each in played[1])
    for command in ("lint", "prove", "rank", "next", "visit"):
        assert f"faultnet {command} " in typed
    assert sum(box.language == "sh" for box in boxes_of(text_of(PAGE))) == len(played[1])


def test_what_is_written_is_in_order_and_proved(played):
    run, _ = played
    told = json.loads(run("faultnet lint lamps --strict --json").stdout)
    assert told["problems"] == []
    assert run("faultnet prove lamps").returncode == 0


def test_an_answer_that_is_another_is_noticed():
    assert agrees("one\n...\nthree\n", "one\ntwo\nthree\n")
    assert agrees("one\n...\n", "one\n")
    assert not agrees("one\n...\nthree\n", "one\ntwo\nfour\n")
    assert not agrees("one\n", "one\ntwo\n")
