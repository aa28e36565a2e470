"""Browsers of people with accounts; all invented."""

import re

from starlette.testclient import TestClient

from faultnet.accounts import register
from faultnet.authoring.shipped import shipped_folder
from faultnet.web.app import application
from faultnet.web.settings import Reach, Settings
from tests.accounts.people import NOON, OTHER, PHRASE

HOME = "http://localhost:8017"
ROLES = {"dora": "dispatcher", "tom": "technician", "sena": "senior", "rita": "read-only"}
"""Each account with its role; the password of all is the same."""


def house(folder, store="", **reach):
    """Return a browser of nobody, at a server without accounts."""
    settings = Settings(folder, shipped_folder(), store, Reach(**reach))
    return TestClient(application(settings), HOME, follow_redirects=False)


def office(browser):
    return browser.app.state.office


def people(browser):
    """Make an account of each role."""
    for name, role in ROLES.items():
        register.add(office(browser).store, name, role, PHRASE, NOON)


def field(page, name):
    """Return what a hidden field of a page holds."""
    return re.search(rf'name="{name}" value="([^"]*)"', page.text)[1]


def log_in(browser, name, password=PHRASE, **more):
    """Send the log-in form as a browser does."""
    form_token = field(browser.get("/login"), "form_token")
    form = {"name": name, "password": password, "form_token": form_token}
    return browser.post("/login", data={**form, **more})


def send(browser, place, page, **fields):
    """Send a form of a page."""
    return browser.post(place, data={"form_token": field(page, "form_token"), **fields})


__all__ = ["HOME", "NOON", "OTHER", "PHRASE", "ROLES"]
