"""Cases leave the phone as files that the office takes in, and come back the same way."""

import json

import pytest

from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.pocket.talk.answering import Talking
from tests.cli.conftest import _own_places, faultnet
from tests.pocket.kept_page import at, blank, done, ids, kept_browser, opened, refused

__all__ = ["_own_places", "at", "faultnet", "kept_browser"]

AUTHOR = "ann@0123456789ab"
SITE = "site-h3k9mp"
BY = """
  const carrying = await import('./carry.js');
  const { hand } = await import('./hand.js');
  const by = {
    kept,
    hand,
    ask: async (name, given) => {
      const answer = JSON.parse(await talked(name, JSON.stringify(given)));
      if (answer.trouble) throw Object.assign(new Error(), { code: 'talk', told: answer.trouble });
      return answer;
    },
  };
"""


@pytest.fixture(scope="module")
def talking():
    return Talking(load(shipped_folder()))


@pytest.fixture
def phone(at, talking):
    """A phone whose thinking is done here, by the same rooms."""
    page = opened(*at)
    page.expose_function("talked", talking.answer)
    return page


def carried(page, work, given=None):
    """Return what a script comes to that carries cases."""
    return done(page, f"(async () => {{{BY} return {work};}})()", given)


def begun(talking, site=""):
    """Return the entries of a case as the phone begins it, perhaps at a site, with the site."""
    asked = {"author": AUTHOR, "system": "jet-pump-cistern"}
    (opened,) = json.loads(talking.answer("begin", json.dumps(asked)))["entries"]
    if not site:
        return [opened], []
    opened["event"]["site"] = site
    place = {**opened, "log": site, "event": {"what": "site-begun", "system": asked["system"]}}
    place["id"] = opened["id"][:-4] + "beef"
    named = {**place, "id": opened["id"][:-4] + "cafe", "number": 2, "after": [place["id"]]}
    named["event"] = {"what": "named", "name": "Mill at Orquay", "address": "Weir Lane 1"}
    return [opened], [place, named]


def saved(page, work, folder, number=1, given=None):
    """Return the files that a script saves, and what it comes to."""
    files = []

    def came(file):
        files.append(file)

    page.on("download", came)
    result = carried(page, work, given)
    for _ in range(100):
        if len(files) == number:
            break
        page.wait_for_timeout(50)
    assert len(files) == number
    paths = [folder / each.suggested_filename for each in files]
    for each, path in zip(files, paths, strict=True):
        each.save_as(path)
    return paths, result


def test_a_case_goes_to_the_office_and_back_to_another_phone(
    at, phone, talking, faultnet, tmp_path, monkeypatch
):
    monkeypatch.setenv("FAULTNET_STORE", f"sqlite:///{tmp_path / 'office.db'}")
    entries, site = begun(talking, SITE)
    log = entries[0]["log"]
    done(phone, "kept.add(given)", [*site, *entries])
    (path,), how = saved(phone, "carrying.carry(by, given)", tmp_path, given=log)
    assert (how, path.name) == ("saved", f"{log}.json")

    came = faultnet("cases", "import", path, "--json")
    assert (came.code, came.json["files"][0]["new"]) == (0, 3)
    assert faultnet("cases", "import", path, "--json").json["files"][0]["new"] == 0
    assert faultnet("cases", "note", log, "Dog; pump in the cellar").code == 0
    back = tmp_path / "back.json"
    assert faultnet("cases", "export", log, "-o", back).code == 0

    other = opened(at[0], at[1].replace("place", "other"))
    other.expose_function("talked", talking.answer)
    assert taken(other, back) == {"log": log, "added": 4}
    assert taken(other, back) == {"log": log, "added": 0}
    found = done(other, "kept.entries(given)", log)
    assert found[0] == entries[0]
    assert found[1]["event"]["text"] == "Dog; pump in the cellar"
    assert done(other, "kept.entries(given)", SITE) == site
    again, _ = saved(other, "carrying.carry(by, given)", tmp_path, given=log)
    assert json.loads(again[0].read_text()) == json.loads(back.read_text())


TAKE = "carrying.takeFile(by, new File([given[1]], given[0]))"


def taken(page, path):
    """Return what comes of opening a file."""
    return carried(page, TAKE, [path.name, path.read_text()])


def test_what_went_by_file_is_unsent_until_the_office_took_it_in(phone, talking, tmp_path):
    entries, site = begun(talking, SITE)
    log = entries[0]["log"]
    done(phone, "kept.add(given)", [*site, *entries])
    saved(phone, "carrying.carry(by, given)", tmp_path, given=log)
    assert len(done(phone, "kept.unsent()")) == 3
    assert refused(phone, "kept.forget(given)", log) == "unsent"
    (file,) = carried(phone, "carrying.carried(kept)")
    assert (file["name"], file["log"], file["waiting"]) == (f"{log}.json", log, 3)

    later = {**entries[0], "id": f"{entries[0]['id'][:-4]}feed", "number": 2}
    later |= {"after": [entries[0]["id"]], "event": {"what": "noted", "text": "later"}}
    done(phone, "kept.add(given)", [later])
    carried(phone, "carrying.takenIn(kept, given)", file["at"])
    assert done(phone, "kept.unsent()") == [later]
    assert carried(phone, "carrying.carried(kept)") == []
    carried(phone, "carrying.takenIn(kept, given)", file["at"])


def test_a_file_without_the_customer_is_not_a_way_to_the_office(phone, talking, tmp_path):
    entries, site = begun(talking, SITE)
    done(phone, "kept.add(given)", [*site, *entries])
    work = "carrying.carry(by, given, { withoutCustomer: true })"
    (path,), _ = saved(phone, work, tmp_path, given=entries[0]["log"])
    assert "Weir Lane" not in path.read_text()
    assert carried(phone, "carrying.carried(kept)") == []


def test_all_that_is_unsent_goes_in_one_go(phone, talking, faultnet, tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_STORE", f"sqlite:///{tmp_path / 'office.db'}")
    (first, site), (second, _), (third, _) = begun(talking, SITE), begun(talking), begun(talking)
    done(
        phone,
        "kept.add(given)",
        [*site, *second, {**second[0], "id": "alone", "log": "site-22222"}],
    )
    done(phone, "kept.add(given, { sent: true })", [*first, *third])
    paths, result = saved(phone, "carrying.carryUnsent(by)", tmp_path, number=2)
    logs = {first[0]["log"], second[0]["log"]}
    assert {each["log"] for each in result["files"]} == logs
    assert result["left"] == ["site-22222"]
    assert faultnet("cases", "import", *paths).code == 0
    waiting = carried(phone, "carrying.carried(kept)")
    assert {each["log"]: each["waiting"] for each in waiting} == {
        first[0]["log"]: 2,
        second[0]["log"]: 1,
    }


def test_a_file_goes_by_the_share_sheet_where_there_is_one(at, talking):
    script = """
      navigator.canShare = ({ files }) => files.length === 1;
      navigator.share = async ({ files }) => {
        window.shared = await files[0].text();
        if (window.refusing) throw new DOMException('no', 'AbortError');
      };"""
    page = opened(*at, script)
    page.expose_function("talked", talking.answer)
    entries, _ = begun(talking)
    log = entries[0]["log"]
    done(page, "kept.add(given)", entries)
    assert carried(page, "(window.refusing = true, carrying.carry(by, given))", log) == "not"
    assert carried(page, "carrying.carried(kept)") == []
    assert carried(page, "(window.refusing = false, carrying.carry(by, given))", log) == "shared"
    assert json.loads(page.evaluate("shared"))["case"] == log
    assert len(carried(page, "carrying.carried(kept)")) == 1


@pytest.mark.parametrize(
    ("text", "code"),
    [("no case", "talk"), ('{"format": "faultnet-case", "version": 99}', "talk")],
)
def test_a_file_that_is_no_case_is_told_and_nothing_is_kept(phone, text, code):
    work = f"(async () => {{{BY} return {TAKE};}})()"
    assert refused(phone, work, ["case.json", text]) == code
    assert done(phone, "kept.logs()") == []


def test_a_file_that_cannot_be_read_or_is_too_large_is_told(phone):
    large = "carrying.takeFile(by, { name: 'a.json', size: 2 ** 30 })"
    gone = """carrying.takeFile(by, { name: 'a.json', size: 9, text: async () => {
      throw new DOMException('gone', 'NotReadableError'); } })"""
    for work, code in ((large, "file-large"), (gone, "file-unread")):
        assert refused(phone, f"(async () => {{{BY} return {work};}})()") == code


def test_a_damaged_file_with_other_content_under_a_known_id_changes_nothing(
    phone, talking, tmp_path
):
    entries, _ = begun(talking)
    log = entries[0]["log"]
    done(phone, "kept.add(given)", entries)
    (path,), _ = saved(phone, "carrying.carry(by, given)", tmp_path, given=log)
    text = path.read_text().replace(AUTHOR, "bob@0123456789ab")
    assert refused(phone, f"(async () => {{{BY} return {TAKE};}})()", [path.name, text]) == "talk"
    assert ids(done(phone, "kept.entries(given)", log)) == ids(entries)


def test_the_carrying_script_loads_without_anything_kept(at):
    assert done(blank(*at), "import('./carry.js').then(() => true)")
