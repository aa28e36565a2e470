"""From log-in to trail in either kind of database, several people at once."""

import re
import threading

from starlette.testclient import TestClient

from faultnet.accounts import trail
from tests.web.people import HOME, ROLES, field, house, log_in, office, people, send


def test_from_log_in_to_the_trail(where, tmp_path):
    with house(tmp_path, where, beyond=True) as browser:
        people(browser)
        assert log_in(browser, "tom", "not the password").status_code == 401
        assert log_in(browser, "tom").status_code == 303
        page = browser.get("/new")
        case = send(browser, "/new", page, system="jet-pump-cistern").headers["location"]
        case = case.removeprefix(HOME)
        page = browser.get(case)
        key = re.search(r'name="key" value="([^"]*)"', page.text)[1]
        send(browser, f"{case}/reply", page, last=field(page, "last"), key=key)
        send(browser, "/logout", page)
        assert browser.get(case).status_code == 303
        assert [each.deed for each in reversed(trail.noted(office(browser).store))] == [
            *("failed log-in", "log-in", "case opened", "case looked at", "case written"),
            "log-out",
        ]


def test_several_log_in_at_once(where, tmp_path):
    with house(tmp_path, where, beyond=True) as browser:
        people(browser)
        came = []

        def come(name):
            other = TestClient(browser.app, HOME, follow_redirects=False)
            came.append((log_in(other, name).status_code, other.get("/").status_code))

        threads = [threading.Thread(target=come, args=(name,)) for name in [*ROLES] * 3]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert came == [(303, 200)] * 12
