"""Events of a site, where a system stands."""

from faultnet.cases.event import Event


class SiteBegun(Event, frozen=True, tag="site-begun"):
    """A site is kept from now on."""

    system: str


class Named(Event, frozen=True, tag="named"):
    """Who and where: customer data. ``speaker`` is who usually answers there."""

    name: str = ""
    address: str = ""
    contact: str = ""
    speaker: str = ""


class Setting(Event, frozen=True, tag="setting"):
    """A setting of the installation, asked or measured once, with its unit."""

    about: str
    value: float
    unit: str = ""
