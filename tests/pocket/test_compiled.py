"""What was compiled is found again, in place of its source."""

import subprocess
import sys
import zipfile

from faultnet.pocket.making.rooms import rooms

BOTH = """
import sys
sys.path[:0] = sys.argv[1:3]
import faultnet.pocket.talk.compiled as ours
from faultnet.reckon import suction
from pathlib import Path
work = ours.Compiling()
while work.more():
    pass
Path(sys.argv[3]).write_bytes(work.whole())
"""

AGAIN = """
import sys
sys.path[:0] = sys.argv[1:3]
from faultnet.reckon import suction
print(suction.__spec__.origin, suction.__spec__.cached)
"""


def run(source, *arguments):
    done = subprocess.run(
        [sys.executable, "-c", source, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_modules_out_of_archives_are_found_compiled(tmp_path):
    first, compiled = tmp_path / "rooms.zip", tmp_path / "compiled.zip"
    first.write_bytes(rooms())
    run(BOTH, first, tmp_path, compiled)
    names = zipfile.ZipFile(compiled).namelist()
    assert {"faultnet/__init__.pyc", "faultnet/reckon/suction.pyc"} <= set(names)
    assert run(AGAIN, compiled, first).startswith(f"{compiled}/faultnet/reckon/suction.pyc")
