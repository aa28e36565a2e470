"""The office hands the page out: the same files, with their headers, to those who may see."""

import gzip

import pytest
from starlette.testclient import TestClient

from faultnet.authoring.shipped import shipped_folder
from faultnet.pocket.making.core import Given
from faultnet.pocket.making.fetch import MSGSPEC, PYODIDE
from faultnet.web.app import application
from faultnet.web.settings import Settings
from tests.web.conftest import HOME, client
from tests.web.people import house, log_in, people


def office(folder, given):
    """Return a browser at an office over an empty store."""
    store = f"sqlite:///{folder / 'cases.db'}"
    return TestClient(application(Settings(folder, shipped_folder(), store, core=given)), HOME)


@pytest.fixture(scope="module")
def browser(made, given, tmp_path_factory):
    with office(tmp_path_factory.mktemp("office"), given) as browser:
        yield browser


def test_the_board_leads_to_it(browser):
    assert 'href="http://localhost:8017/pocket/"' in browser.get("/").text


def test_it_is_the_edition_that_is_written_as_files(browser, made):
    told = browser.get("/pocket/edition.json")
    assert told.json()["edition"] == made.edition.edition
    assert told.headers["cache-control"] == "no-cache"
    assert browser.get("/pocket").url.path == "/pocket/"


def test_every_file_of_the_edition_is_there_also_those_that_browsers_ask_for_as_nobody(
    browser, made
):
    for file in made.edition.files:
        answer = browser.get(f"/pocket/{file.path}")
        assert (answer.status_code, answer.content) == (200, made.files[file.path]), file.path


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("served.js", "text/javascript; charset=utf-8"),
        ("core/pyodide.js", "text/javascript; charset=utf-8"),
        ("core/pyodide.asm.wasm", "application/wasm"),
        ("knowledge.bin", "application/octet-stream"),
    ],
)
def test_each_file_has_its_type_and_the_headers_of_safety(browser, made, path, kind):
    answer = browser.get(f"/pocket/{path}")
    assert answer.content == made.files[path]
    assert answer.headers["content-type"] == kind
    assert answer.headers["cache-control"] == "no-cache"
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'" in policy
    assert "unsafe-inline" not in policy


def test_it_comes_packed_to_whoever_takes_that(browser, made):
    plain = browser.get("/pocket/knowledge.bin", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    packed = browser.get("/pocket/knowledge.bin.packed")
    assert gzip.decompress(packed.content) == plain.content


def test_what_has_not_changed_is_not_sent_again(browser):
    tag = browser.get("/pocket/loops.js").headers["etag"]
    again = browser.get("/pocket/loops.js", headers={"if-none-match": tag})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("path", ["nothing.js", "../app.py", "%2e%2e/app.py", "core/"])
def test_nothing_else_is_handed_out(browser, path):
    assert browser.get(f"/pocket/{path}").status_code == 404


def test_where_it_is_not_at_hand_the_office_says_so(tmp_path):
    with client(tmp_path) as browser:
        assert "/pocket/" not in browser.get("/").text
        answer = browser.get("/pocket/")
    assert answer.status_code == 404
    assert "faultnet pocket DIR" in answer.text


def test_what_is_spoilt_is_told(tmp_path):
    for file in (PYODIDE.file, MSGSPEC.file):
        (tmp_path / file).write_bytes(b"spoilt")
    with office(tmp_path, Given(kept=tmp_path)) as browser:
        answer = browser.get("/pocket/")
    assert answer.status_code == 503
    assert "cannot be read" in answer.text


def test_only_those_with_an_account_get_it_where_there_are_accounts(tmp_path):
    with house(tmp_path) as browser:
        people(browser)
        for path in ("", "edition.json", "served.js", "core/pyodide.js"):
            assert (
                browser.get(f"/pocket/{path}")
                .headers["location"]
                .endswith(f"/login?next=%2Fpocket%2F{path.replace('/', '%2F')}")
            )
        log_in(browser, "rita")
        assert browser.get("/pocket/edition.json").status_code == 404  # not at hand, but let in
