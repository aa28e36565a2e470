"""Nobody gets past the gate without an account, and each only where the role may."""

import re
from pathlib import Path

import pytest
from starlette.responses import JSONResponse
from starlette.routing import Mount, Route

from faultnet.accounts import sessions, tokens, trail
from faultnet.accounts.role import MAY, ROLES
from faultnet.cases.entry import Writer
from faultnet.cases.events import AtSite, Named, Note, SiteBegun
from faultnet.web.safe import doors
from tests.web.people import HOME, OTHER, PHRASE, field, house, log_in, office, people, send
from tests.web.people import ROLES as PEOPLE

KEPT_FROM_SOME = "the miller keeps the key"
TEMPLATES = Path(__file__).parents[2] / "faultnet/web/templates"


@pytest.fixture
def browser(tmp_path):
    """A browser of nobody, at a server on this machine with an account of each role."""
    with house(tmp_path) as browser:
        people(browser)
        yield browser


def logged_in(browser, name):
    assert log_in(browser, name).status_code == 303
    return browser


def token(browser, role, days=30):
    store = office(browser).store
    return tokens.make(store, "board", role, days, office(browser).clock())[1]


def bearer(secret):
    return {"authorization": f"Bearer {secret}"}


def deeds(browser, **which):
    return [each.deed for each in trail.noted(office(browser).store, **which)]


def a_case(browser):
    """Open a case with a note and a site as tom, and return its place."""
    logged_in(browser, "tom")
    page = browser.get("/new")
    place = send(browser, "/new", page, system="jet-pump-cistern").headers["location"]
    place = place.removeprefix(HOME)
    keep = office(browser)
    case = place.rpartition("/")[2]
    writer = Writer("tom@here")
    site = keep.begin(SiteBegun("jet-pump-cistern"), writer)
    for log, event in (
        (site, Named("Mill at Orquay", "Orquay 3", "0555 0101")),
        (case, Note(KEPT_FROM_SOME)),
        (case, AtSite(site)),
    ):
        seen = keep.store.read(log).entries
        keep.store.append((writer.entry(log, event, seen),))
    browser.cookies.clear()
    return place


@pytest.fixture
def programs(browser):
    """Places for programs, mounted as they are beside the pages."""

    async def said(request):
        return JSONResponse({"who": request.state.visitor.name, "body": len(await request.body())})

    route = Route("/cases/{id}", said, methods=["GET", "POST"])
    browser.app.router.routes.insert(0, Mount("/api/v1/other", routes=[route]))
    return browser


def test_where_there_is_no_account_whoever_is_here_needs_none(tmp_path):
    with house(tmp_path) as browser:
        assert browser.get("/").status_code == 200
        assert "Log out" not in browser.get("/").text
        assert browser.post("/new", data={"system": "jet-pump-cistern"}).status_code == 303
        assert browser.get("/login").headers["location"] == "/"
        people(browser)
        assert browser.get("/").status_code == 303


def test_beyond_this_machine_nobody_comes_in_without_an_account(tmp_path):
    with house(tmp_path, beyond=True) as browser:
        assert browser.get("/").headers["location"] == f"{HOME}/login"
        assert browser.post("/new", data={"system": "jet-pump-cistern"}).status_code == 401


def places(routes, before=""):
    """Return every place of an application, each with its methods."""
    for route in routes:
        if isinstance(route, Mount):
            yield from places(route.routes, before + route.path)
        else:
            path = re.sub(r"\{[^}]*\}", "x", before + route.path)
            yield from ((method, path) for method in sorted(route.methods))


def test_every_place_asks_who_comes(programs):
    found = set(places(programs.app.routes))
    assert ("GET", "/accounts") in found
    assert ("POST", "/api/v1/other/cases/x") in found
    for method, path in found:
        answer = programs.request(method, path)
        if path == "/login":
            continue
        assert answer.status_code in {303, 401}, (method, path)
        assert answer.status_code == 401 or "/login" in answer.headers["location"]
    for path in ("/nowhere", "//", "/login/", "/static", "/LOGIN", "/%6cogin/x", "/cases"):
        assert programs.get(path).status_code in {303, 307}, path
        assert "login" in programs.get(path).headers["location"], path
    assert programs.get("/static/look.css").status_code == 200
    assert programs.get("/static/../app.py").status_code in {303, 404}


def test_a_place_that_nobody_thought_of_is_closed():
    assert doors.needed("GET", "/anything") == "customer"
    assert doors.needed("DELETE", "/anything") == "write"
    assert doors.needed("GET", "/cases/x/anything") == "customer"


def test_logged_in_and_out_again(browser):
    answer = log_in(browser, "Tom ", next="/new")
    assert (answer.status_code, answer.headers["location"]) == (303, "/new")
    page = browser.get("/")
    assert "tom, technician" in page.text
    old = dict(browser.cookies)
    out = send(browser, "/logout", page)
    assert out.headers["location"] == f"{HOME}/login"
    assert browser.get("/").status_code == 303
    browser.cookies.update(old)
    assert browser.get("/").status_code == 303
    assert deeds(browser) == ["log-out", "log-in"]


@pytest.mark.parametrize("given", [("tom", OTHER), ("nobody", PHRASE), ("", ""), ("tom\0", PHRASE)])
def test_a_wrong_name_and_a_wrong_password_are_told_alike(browser, given):
    answer = log_in(browser, *given)
    assert answer.status_code == 401
    assert "Name and password do not belong together" in answer.text
    assert browser.get("/").status_code == 303


def test_after_too_many_tries_the_page_says_how_long_to_wait(browser):
    for _ in range(5):
        assert log_in(browser, "tom", OTHER).status_code == 401
    answer = log_in(browser, "tom")
    assert answer.status_code == 429
    assert "Wait 15 min" in answer.text
    assert 0 < int(answer.headers["retry-after"]) <= 900


@pytest.mark.parametrize(
    "asked",
    [
        "//pump.example",
        "https://pump.example",
        "/\\pump.example",
        "pump.example",
        "/\t/x",
        "//[",
        "\n/",
    ],
)
def test_log_in_leads_nowhere_else(browser, asked):
    assert log_in(browser, "tom", next=asked).headers["location"] == "/"


def test_who_is_not_logged_in_comes_back_to_where_they_were_going(browser):
    asked = browser.get("/cases/x?view=why").headers["location"]
    assert asked == f"{HOME}/login?next=%2Fcases%2Fx%3Fview%3Dwhy"
    assert field(browser.get(asked), "next") == "/cases/x?view=why"


def test_the_secret_is_another_after_log_in(browser):
    def secret():
        return browser.cookies.get("faultnet-session", domain="localhost.local")

    browser.cookies.set("faultnet-session", "planted")
    logged_in(browser, "tom")
    first = secret()
    assert first not in {None, "planted"}
    logged_in(browser, "tom")
    assert secret() not in {None, first}
    now = office(browser).clock()
    assert sessions.account_of(office(browser).store, first, now) is None
    assert sessions.account_of(office(browser).store, secret(), now).name == "tom"


@pytest.mark.parametrize(
    ("secure", "name"), [(False, "faultnet-session"), (True, "__Host-faultnet-session")]
)
def test_the_cookie_is_kept_from_scripts_and_other_pages(tmp_path, secure, name):
    with house(tmp_path, secure=secure) as browser:
        people(browser)
        browser.base_url = HOME.replace("http", "https") if secure else HOME
        given = log_in(browser, "tom").headers.get_list("set-cookie")
        (cookie,) = (each for each in given if each.startswith(f"{name}="))
        fields = [each.strip().lower() for each in cookie.split(";")[1:]]
        assert {"httponly", "samesite=lax", "path=/"} <= set(fields)
        assert ("secure" in fields) is secure
        assert not any(each.startswith(("domain", "expires", "max-age")) for each in fields)


def test_a_session_ends_by_itself(browser):
    now = office(browser).clock()
    logged_in(browser, "tom")
    office(browser).clock = lambda: now + sessions.IDLE - 60
    assert browser.get("/").status_code == 200
    office(browser).clock = lambda: now + 2 * sessions.IDLE
    assert browser.get("/").status_code == 303


@pytest.mark.parametrize("form_token", [None, "", "0" * 64, "ü"])
def test_a_form_of_no_session_or_another_changes_nothing(browser, form_token):
    logged_in(browser, "sena")
    fields = {"system": "jet-pump-cistern"}
    if form_token is not None:
        fields["form_token"] = form_token
    answer = browser.post("/new", data=fields)
    assert answer.status_code == 403
    assert office(browser).cases(ended=False) == []
    assert deeds(browser)[0] == "refused"


def test_a_form_of_one_log_in_is_no_good_in_another(browser):
    before = field(logged_in(browser, "tom").get("/new"), "form_token")
    logged_in(browser, "tom")
    answer = browser.post("/new", data={"system": "jet-pump-cistern", "form_token": before})
    assert answer.status_code == 403


def test_a_log_in_that_another_page_sends_is_refused(browser):
    given = browser.get("/login")
    token_ = field(given, "form_token")
    browser.cookies.clear()
    data = {"name": "tom", "password": PHRASE, "form_token": token_}
    assert browser.post("/login", data=data).status_code == 403
    assert browser.get("/").status_code == 303


def test_every_form_that_changes_something_carries_its_token():
    forms = [
        (path.name, form)
        for path in sorted(TEMPLATES.glob("*.html"))
        for form in re.findall(r"<form\b.*?</form>", path.read_text("utf-8"), re.DOTALL)
    ]
    changing = [each for each in forms if 'method="get"' not in each[1]]
    assert len(changing) >= 6
    for name, form in changing:
        assert 'method="post"' in form, name
        assert '{% include "token.html" %}' in form, name


def test_a_token_lets_a_program_in_without_a_form(programs):
    answer = programs.post(
        "/api/v1/other/cases/x", headers=bearer(token(programs, "technician")), json={}
    )
    assert (answer.status_code, answer.json()) == (200, {"who": "board", "body": 2})


def test_a_call_with_a_session_needs_the_token_of_its_forms(programs):
    logged_in(programs, "tom")
    assert programs.get("/api/v1/other/cases/x").status_code == 200
    assert programs.post("/api/v1/other/cases/x", json={}).status_code == 403
    headers = {"x-form-token": field(programs.get("/new"), "form_token")}
    assert programs.post("/api/v1/other/cases/x", json={}, headers=headers).status_code == 200


def test_programs_are_refused_in_json(programs):
    """Problem Details (RFC 9457), and what a bearer token is asked for with (RFC 6750, 3)."""
    unknown = programs.get("/api/v1/other/cases/x")
    wrong = programs.get("/api/v1/other/cases/x", headers=bearer("faultnet_wrong"))
    basic = programs.get("/api/v1/other/cases/x", headers={"authorization": "Basic dG9tOng="})
    may_not = programs.post(
        "/api/v1/other/cases/x", headers=bearer(token(programs, "read-only")), json={}
    )
    elsewhere = programs.get("/api/v1/other/cases/x", headers={"host": "pump.example"})
    told = {401: [unknown, wrong, basic], 403: [may_not], 421: [elsewhere]}
    for status, answers in told.items():
        for answer in answers:
            assert answer.status_code == status
            assert answer.headers["content-type"] == "application/problem+json"
            problem = answer.json()
            assert problem["status"] == status
            assert all(problem[name] for name in ("type", "title", "detail", "place", "mend"))
    assert unknown.headers["www-authenticate"] == "Bearer"
    assert wrong.headers["www-authenticate"] == 'Bearer error="invalid_token"'


def test_a_token_that_is_over_or_revoked_is_no_good(programs):
    now = office(programs).clock()
    over, gone = token(programs, "senior", 1), token(programs, "senior")
    store = office(programs).store
    tokens.revoke(store, tokens.token_of(store, gone, now).id, now)
    office(programs).clock = lambda: now + 86_401
    for secret in (over, gone):
        assert programs.get("/api/v1/other/cases/x", headers=bearer(secret)).status_code == 401


def test_a_wrong_token_is_no_way_in_for_whoever_is_logged_in(browser):
    logged_in(browser, "tom")
    assert browser.get("/", headers=bearer("faultnet_wrong")).status_code == 401


def test_wrong_tokens_do_not_fill_the_trail(browser):
    for _ in range(30):
        assert browser.get("/", headers=bearer("faultnet_wrong")).status_code == 401
        assert browser.get("/").status_code == 303
    assert deeds(browser) == ["refused"] * 20


ASKED = {
    "see": [("GET", "/"), ("GET", "{case}"), ("GET", "{case}/report.html")],
    "customer": [("GET", "/new"), ("GET", "/api/v1/other/cases/x")],
    "write": [("POST", "/new"), ("POST", "{case}/reply"), ("POST", "/api/v1/other/cases/x")],
    "accounts": [("GET", "/accounts")],
}


@pytest.mark.parametrize(("name", "role"), PEOPLE.items())
def test_each_role_may_what_the_table_says_and_no_more(programs, name, role):
    case = a_case(programs)
    logged_in(programs, name)
    secret = token(programs, role)
    for right, asked in ASKED.items():
        for method, place in asked:
            path = place.format(case=case)
            answers = [programs.request(method, path, headers=bearer(secret))]
            headers = {"x-form-token": field(programs.get("/"), "form_token")}
            answers.append(programs.request(method, path, headers=headers))
            for answer in answers:
                assert (answer.status_code != 403) is (right in MAY[role]), (method, path)
                assert answer.status_code not in {401, 500}
    assert set(PEOPLE.values()) == set(ROLES)


CUSTOMER = (KEPT_FROM_SOME, "Mill at Orquay", "Orquay 3", "0555 0101")


@pytest.mark.parametrize("name", PEOPLE)
def test_who_may_not_see_the_customer_sees_the_case_without(browser, name):
    case = a_case(browser)
    logged_in(browser, name)
    read = "".join(browser.get(place).text for place in ("/", case, f"{case}/report.html"))
    read += browser.get(f"{case}/report.md").text
    for words in CUSTOMER:
        if PEOPLE[name] == "read-only":
            assert words not in read
    if PEOPLE[name] != "read-only":
        assert "Mill at Orquay" in read
        assert "0555 0101" in read
    assert "site-" not in read or PEOPLE[name] != "read-only"


def test_read_only_is_shown_nothing_to_press(browser):
    case = a_case(browser)
    page = logged_in(browser, "rita").get(case)
    assert "rita, read-only" in page.text
    assert 'name="key"' not in page.text
    assert "New case" not in page.text


def test_what_is_written_has_the_name_of_the_account(browser):
    case = a_case(browser)
    logged_in(browser, "dora")
    page = browser.get(case)
    fields = {name: field(page, name) for name in ("last", "view", "what", "text")}
    key = re.search(r'name="key" value="([^"]*)"', page.text)[1]
    assert send(browser, f"{case}/reply", page, key=key, **fields).status_code == 303
    entries = office(browser).store.read(case.rpartition("/")[2]).entries
    assert {each.author.partition("@")[0] for each in entries} == {"tom", "dora"}


def test_the_trail_tells_who_did_what(browser):
    case = a_case(browser)
    name = case.rpartition("/")[2]
    logged_in(browser, "dora")
    page = browser.get(case)
    browser.get(f"{case}/report.pdf")
    send(browser, f"{case}/reply", page, last=field(page, "last"), key=field_key(page))
    assert browser.get("/accounts").status_code == 403
    noted = [
        (each.who, each.deed, each.about)
        for each in reversed(trail.noted(office(browser).store))
        if each.about in {name, "GET /accounts"} or each.who == "dora"
    ]
    assert noted == [
        ("tom", "case opened", name),
        ("dora", "log-in", ""),
        ("dora", "case looked at", name),
        ("dora", "case exported", name),
        ("dora", "case written", name),
        ("dora", "refused", "GET /accounts"),
    ]


def field_key(page):
    return re.search(r'name="key" value="([^"]*)"', page.text)[1]


def test_the_senior_sees_accounts_and_trail_and_no_secret(browser):
    secret = token(browser, "technician")
    page = logged_in(browser, "sena").get("/accounts")
    for words in ("tom", "read-only", "board", "log-in", "see customers in them"):
        assert words in page.text
    assert secret not in page.text
    assert "hash " not in page.text


def test_a_store_that_is_away_is_told(browser, monkeypatch):
    from faultnet.cases.store.trouble import StoreError

    def away(*_, **__):
        raise StoreError("here", "the disk is full")

    monkeypatch.setattr("faultnet.web.safe.gate.sessions.account_of", away)
    browser.cookies.set("faultnet-session", "x")
    answer = browser.get("/")
    assert answer.status_code == 503
    assert "the disk is full" in answer.text


def test_a_line_that_stays_open_is_refused(browser):
    from starlette.websockets import WebSocketDisconnect

    with pytest.raises(WebSocketDisconnect), browser.websocket_connect("/"):
        pass
