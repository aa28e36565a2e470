import shutil
from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge

SMALL = Path(__file__).parents[2] / "authoring" / "knowledge"


@pytest.fixture(scope="session")
def knowledge(tmp_path_factory):
    """Small knowledge with every mechanism, its causes so common that there is a factor s."""
    folder = tmp_path_factory.mktemp("commoner") / "knowledge"
    shutil.copytree(SMALL, folder)
    for name, old, new in (
        ("words.yaml", "common: 0.024", "common: 0.45"),
        ("words.yaml", "rare: {is: 0.002", "rare: {is: 0.2"),
        ("parts/suction.yaml", "how-common: 0.01", "how-common: 0.3"),
        ("systems/jet-pump.yaml", "how-common: 0.08", "how-common: 0.5"),
    ):
        path = folder / name
        text = path.read_text("utf-8")
        assert old in text, (name, old, text[:400])
        path.write_text(text.replace(old, new), "utf-8")
    read, problems = read_knowledge(folder)
    assert read is not None, problems
    return read
