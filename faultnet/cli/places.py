"""Where things lie on this machine."""

import os
from pathlib import Path

DATA_VARIABLE = "FAULTNET_DATA"


def data_folder() -> Path:
    """Return where cases and unfinished visits lie: what FAULTNET_DATA names, or the usual."""
    named = os.environ.get(DATA_VARIABLE)
    if named:
        return Path(named)
    from platformdirs import user_data_dir

    return Path(user_data_dir("faultnet", appauthor=False))


def report_folder() -> Path:
    """Return where reports about faults of faultnet are written."""
    from platformdirs import user_state_dir

    return Path(user_state_dir("faultnet", appauthor=False))
