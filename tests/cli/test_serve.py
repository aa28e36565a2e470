"""`serve` as it is started: it says where it listens, answers there, and ends when told."""

import io
import json
import signal
import socket
import ssl
import subprocess
import sys
from contextlib import closing
from http.client import HTTPConnection, HTTPSConnection
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests.accounts.people import PHRASE
from tests.cli.certificate import certificate
from tests.cli.conftest import ROOT


def test_it_says_where_it_listens_and_keeps_what_was_said_when_killed(tmp_path):
    for expected in ("Open cases", "Jet pump drawing from a cistern"):
        server = started(tmp_path)
        try:
            port = urlsplit(json.loads(document(server.stdout))["address"]).port
            assert expected in answered(port, "GET", "/")[1]
            form = {"Content-Type": "application/x-www-form-urlencoded"}
            begun, _ = answered(port, "POST", "/new", "system=jet-pump-cistern", form)
            assert begun == 303
        finally:
            server.send_signal(signal.SIGKILL)
            server.communicate()


def test_a_port_that_is_taken_is_told(faultnet):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        done = faultnet("serve", "--port", str(taken.getsockname()[1]))
    assert done.code == 2
    assert "cannot be had" in done.err


def answered(port, *asked):
    """Return the status and the text that a server on this machine answers."""
    with closing(HTTPConnection("127.0.0.1", port, timeout=60)) as connection:
        connection.request(*asked)
        answer = connection.getresponse()
        return answer.status, answer.read().decode()


ANYWHERE = "0.0.0.0"  # noqa: S104 listening there is what is tested
WRONG = [
    (["--host", ANYWHERE], "would travel unprotected", "--tls-cert"),
    (["--host", ANYWHERE, "--without-tls"], "there is no account", "faultnet accounts add"),
    (["--host", "::", "--without-tls"], "there is no account", ""),
    (["--behind-proxy"], "what browsers call the proxy", "--name"),
    (["--behind-proxy", "--name", "pumps.example"], "there is no account", ""),
    (["--behind-proxy", "nowhere", "--name", "x"], "`nowhere` is no address of a proxy", ""),
    (["--host", "no-such-host.invalid"], "no address of this machine", ""),
    (["--host", "192.0.2.1", "--without-tls"], "there is no account", ""),
    (["--name", "https://pumps.example"], "is no name", "no https://"),
    (["--tls-cert", "pyproject.toml"], "belong together", "--tls-key"),
    (["--tls-cert", "pyproject.toml", "--tls-key", "README.md"], "are no certificate", ""),
    (["--tls-cert", "/nowhere", "--tls-key", "/nowhere"], "does not exist", "serve --help"),
]


@pytest.mark.parametrize(("arguments", "message", "hint"), WRONG)
def test_what_is_not_safe_is_refused(faultnet, tmp_path, monkeypatch, arguments, message, hint):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path))
    told = faultnet("serve", *arguments)
    assert told.code == 2
    assert message in told.err
    assert hint in told.err


def test_an_address_that_is_not_of_this_machine_is_told(faultnet, account):
    told = faultnet("serve", "--host", "192.0.2.1", "--without-tls")
    assert told.code == 2
    assert "cannot be had" in told.err


@pytest.fixture
def account(faultnet, tmp_path, monkeypatch):
    monkeypatch.setenv("FAULTNET_DATA", str(tmp_path))
    monkeypatch.setattr(sys, "stdin", io.StringIO(PHRASE))
    assert faultnet("accounts", "add", "anna", "--role", "senior").code == 0


def test_beyond_this_machine_by_tls_with_an_account(account, tmp_path):
    cert, key = certificate(tmp_path)
    server = started(tmp_path, "--host", ANYWHERE, "--tls-cert", cert, "--tls-key", key)
    try:
        address = json.loads(document(server.stdout))["address"]
        port = urlsplit(address).port
        assert address == f"https://0.0.0.0:{port}"
        trusting = ssl.create_default_context(cafile=cert)
        with closing(HTTPSConnection("localhost", port, timeout=60, context=trusting)) as browser:
            browser.request("GET", "/")
            answer = browser.getresponse()
            assert answer.status == 303
            assert answer.getheader("location") == f"https://localhost:{port}/login"
            assert answer.getheader("server") is None
            answer.read()
            browser.request("GET", "/login", headers={"X-Forwarded-For": "192.0.2.1"})
            answer = browser.getresponse()
            assert "__Host-faultnet-door" in answer.getheader("set-cookie")
            assert "; secure" in answer.getheader("set-cookie").lower()
        with pytest.raises(OSError):
            answered(port, "GET", "/")
    finally:
        server.send_signal(signal.SIGKILL)
        server.communicate()


@pytest.mark.parametrize("host", [ANYWHERE, "::1", "localhost"])
def test_with_an_account_everybody_logs_in_wherever_it_listens(account, tmp_path, host):
    more = ["--without-tls"] if host == ANYWHERE else []
    server = started(tmp_path, "--host", host, *more)
    try:
        port = urlsplit(json.loads(document(server.stdout))["address"]).port
        with closing(HTTPConnection(HERE.get(host, host), port, timeout=60)) as browser:
            browser.request("GET", "/")
            assert browser.getresponse().getheader("location").endswith("/login")
    finally:
        server.send_signal(signal.SIGKILL)
        server.communicate()


HERE = {ANYWHERE: "127.0.0.1"}


@pytest.mark.parametrize(
    ("more", "noted"),
    [
        (["--behind-proxy", "--name", "pumps.example"], "192.0.2.1"),
        ([], "127.0.0.1"),
    ],
)
def test_nobody_but_the_proxy_says_who_asks(faultnet, account, tmp_path, more, noted):
    server = started(tmp_path, *more)
    try:
        name = "pumps.example" if more else "localhost"
        address = json.loads(document(server.stdout))["address"]
        port = urlsplit(address).port if not more else listening(server)
        headers = {
            "Host": name,
            "X-Forwarded-For": "192.0.2.1",
            "Authorization": "Bearer faultnet_wrong",
        }
        assert answered(port, "GET", "/", None, headers)[0] == 401
        (row,) = faultnet("accounts", "audit", "--what", "refused", "--json").json["noted"]
        assert row["address"] == noted
    finally:
        server.send_signal(signal.SIGKILL)
        server.communicate()


def listening(server):
    """Return the port that a server listens on, by what the system says of its process."""
    sockets = {
        link.readlink().name
        for link in Path(f"/proc/{server.pid}/fd").iterdir()
        if "socket" in str(link.readlink())
    }
    for line in Path("/proc/net/tcp").read_text("ascii").splitlines()[1:]:
        fields = line.split()
        if fields[3] == "0A" and f"socket:[{fields[9]}]" in sockets:
            return int(fields[1].rpartition(":")[2], 16)
    raise AssertionError("it does not listen")


def started(folder, *more):
    """Start a server on any port, with its data in a folder."""
    return subprocess.Popen(
        [sys.executable, "-m", "faultnet", "serve", "--port", "0", "--json", *map(str, more)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={"FAULTNET_DATA": str(folder), "PATH": ""},
    )


def document(stream):
    """Return the lines of the JSON that stands at the beginning of a stream."""
    lines = []
    for line in stream:
        lines.append(line)
        if line.startswith("}"):
            break
    return "".join(lines)
