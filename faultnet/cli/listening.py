"""Where a server listens, and whether that is safe: said on the command line, then looked at."""

import re
import socket
import ssl
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli import kept_cases

if TYPE_CHECKING:
    from faultnet.web.settings import Reach

_NAME = re.compile(r"[a-z0-9]([a-z0-9.-]{0,251}[a-z0-9])?", re.ASCII)


@dataclass(frozen=True)
class Listening:
    """What the command line says of it: texts, not yet looked at."""

    host: str = "127.0.0.1"
    port: int = 8017
    names: tuple[str, ...] = ()
    cert: Path | None = None
    key: Path | None = None
    proxy: str | None = None
    without_tls: bool = False

    @property
    def scheme(self) -> str:
        """How an address of it begins."""
        return "https" if self.cert or self.proxy else "http"


FILE = click.Path(exists=True, dir_okay=False, path_type=Path)

OPTIONS = (
    click.option(
        "--host",
        metavar="ADDRESS",
        default=Listening.host,
        show_default=True,
        help="The address to listen on; 0.0.0.0 is each IPv4 address of this machine.",
    ),
    click.option(
        "--port",
        type=click.IntRange(0, 65535),
        default=Listening.port,
        show_default=True,
        help="The port.",
    ),
    click.option(
        "--name",
        "names",
        multiple=True,
        metavar="NAME",
        help="A name that browsers may call it by, such as pumps.example.",
    ),
    click.option("--tls-cert", "cert", type=FILE, metavar="FILE", help="The certificate (PEM)."),
    click.option("--tls-key", "key", type=FILE, metavar="FILE", help="The key to it (PEM)."),
    click.option(
        "--behind-proxy",
        "proxy",
        is_flag=False,
        flag_value="127.0.0.1",
        metavar="[ADDRESS]",
        help="A proxy at this address (here by default) does the TLS and says who asks.",
    ),
    click.option(
        "--without-tls",
        is_flag=True,
        help="Let other machines in unprotected, where the network itself is protected.",
    ),
)


def listener(asked: Listening) -> tuple[socket.socket, "Reach"]:
    """Return a socket that listens, and who can reach it; raise what tells why not."""
    names = frozenset(map(_name, asked.names))
    family, place = _resolved(asked)
    here = ip_address(place[0].partition("%")[0])
    beyond = not here.is_loopback or asked.proxy is not None
    _check_tls(asked, beyond=beyond)
    if asked.proxy is not None and not names:
        raise click.UsageError("Say what browsers call the proxy: --name pumps.example")
    if beyond and not _any_account():
        mend = "Make one first: faultnet accounts add NAME --role senior"
        raise click.UsageError(f"Other machines could reach it, and there is no account. {mend}")
    from faultnet.web.settings import Reach

    if not here.is_loopback and not here.is_unspecified:
        names |= {str(here)}
    reach = Reach(
        names=names,
        any_address=here.is_unspecified,
        beyond=beyond,
        secure=asked.scheme == "https",
    )
    return _opened(family, place, asked), reach


def address(asked: Listening, port: int) -> str:
    """Return the address to open, for a browser."""
    if asked.proxy is not None:
        return f"https://{asked.names[0]}"
    host = asked.names[0] if asked.names else asked.host
    host = "localhost" if host in {"127.0.0.1", "::1"} else f"[{host}]" if ":" in host else host
    return f"{asked.scheme}://{host}:{port}"


def _name(name: str) -> str:
    if not _NAME.fullmatch(name.lower()):
        raise click.UsageError(f"`{name[:60]}` is no name: no https://, no port, no slash.")
    return name.lower()


def _resolved(asked: Listening) -> tuple[socket.AddressFamily, tuple[str, int]]:
    try:
        found = socket.getaddrinfo(asked.host, asked.port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise click.UsageError(f"`{asked.host[:60]}` is no address of this machine.") from None
    family, _, _, _, place = found[0]
    return family, (str(place[0]), asked.port)


def _check_tls(asked: Listening, *, beyond: bool) -> None:
    if bool(asked.cert) != bool(asked.key):
        raise click.UsageError("A certificate and its key belong together: --tls-cert, --tls-key.")
    if asked.cert:
        try:
            ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(asked.cert, asked.key, "")
        except (OSError, ValueError) as error:
            reason = getattr(error, "reason", None) or error
            message = f"{asked.cert} and {asked.key} are no certificate and its key: {reason}."
            raise click.UsageError(f"{message} The key is without a password.") from None
    if asked.proxy is not None:
        try:
            ip_address(asked.proxy)
        except ValueError:
            raise click.UsageError(f"`{asked.proxy[:60]}` is no address of a proxy.") from None
    if beyond and asked.scheme == "http" and not asked.without_tls:
        raise click.UsageError(
            "Passwords and customer data would travel unprotected. Give --tls-cert and "
            "--tls-key, or --behind-proxy where a proxy does the TLS; --without-tls only "
            "where the network itself is protected."
        )


def _any_account() -> bool:
    from faultnet.accounts.register import there_are

    with kept_cases.opened() as store:
        return there_are(store)


def _opened(
    family: socket.AddressFamily, place: tuple[str, int], asked: Listening
) -> socket.socket:
    try:
        return socket.create_server(place, family=family)
    except OSError as error:
        reason = f"Port {asked.port} of {asked.host} cannot be had: {error.strerror}."
        raise click.UsageError(f"{reason} Give another: --port 0 takes any.") from None
