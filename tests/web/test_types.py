"""What requests are read into is ready before threads meet it: else msgspec crashes the process."""

import subprocess
import sys
from pathlib import Path

from tests.cli.conftest import ROOT

AT_ONCE = """
import sys
from contextlib import suppress
from pathlib import Path
from threading import Barrier, Thread

import msgspec

from faultnet.cases.entry import STORED, Writer
from faultnet.cases.events import Opened
from faultnet.web.app import application
from faultnet.web.api.table import CALLS
from faultnet.web.settings import Settings

application(Settings(Path(sys.argv[1]), Path(sys.argv[1])))
sys.setswitchinterval(1e-6)
together = Barrier(16)


def read(take):
    together.wait()
    with suppress(msgspec.MsgspecError):
        take()


entry = msgspec.json.encode(Writer("anna@here").begin(Opened("jet-pump-cistern")))
decode = msgspec.json.decode
takes = [lambda: STORED.decode(entry)]
for call in CALLS:
    sent = msgspec.json.encode(call.example)
    takes.append(lambda asks=call.asks, sent=sent: decode(sent, type=asks))
for take in takes:
    threads = [Thread(target=read, args=(take,)) for _ in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
"""


def test_types_are_ready_before_threads_meet_them(tmp_path: Path) -> None:
    words = [sys.executable, "-c", AT_ONCE, str(tmp_path)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
