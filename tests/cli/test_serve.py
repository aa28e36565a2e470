"""`serve` as it is started: it says where it listens, answers there, and ends when told."""

import json
import signal
import socket
import subprocess
import sys
from contextlib import closing
from http.client import HTTPConnection
from urllib.parse import urlsplit

from tests.cli.conftest import ROOT


def test_it_says_where_it_listens_and_keeps_what_was_said_when_killed(tmp_path):
    for expected in ("Open cases", "jet-pump-cistern"):
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


def started(folder):
    """Start a server on any port, with its data in a folder."""
    return subprocess.Popen(
        [sys.executable, "-m", "faultnet", "serve", "--port", "0", "--json"],
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
