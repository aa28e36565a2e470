"""Asks that several calculators share."""

from faultnet.reckon.ask import Ask
from faultnet.reckon.pipe import BORES_IN

WATER = Ask(
    name="water",
    key="water_degf",
    about="Heat of the water",
    units=("degF",),
    default="50degF",
    option=True,
)
ALTITUDE = Ask(
    name="altitude",
    key="altitude_ft",
    about="Height above the sea",
    units=("ft",),
    default="0ft",
    option=True,
)
SETTINGS = Ask(
    name="settings",
    key="settings",
    about="Pressures at which the switch starts and stops",
    units=("psi",),
    default="30/50psi",
    pair=True,
)
KIND = Ask(
    name="kind",
    key="kind",
    about="Kind of pipe",
    choices=tuple(BORES_IN),
    default="pvc",
    option=True,
)
BORE = Ask(
    name="bore",
    key="bore_in",
    about="Width inside, for a pipe that is not in the table",
    units=("in",),
    option=True,
)
