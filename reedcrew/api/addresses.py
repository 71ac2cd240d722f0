"""Which addresses messages may go to: whole https addresses of machines on the public network.

A webhook makes this server ask an address that somebody else chose. Were it let into the private network behind the
server, it could reach what nobody outside may (OWASP, "Server-Side Request Forgery Prevention Cheat Sheet": allow
only public addresses, judge what a name resolves to, follow no redirects). So each name is looked up when it is given
and again for every message, and the connection goes to the very address that was judged.

An installation that is not hosted may also tell a program of the same machine, by http.
"""

import ipaddress
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings

from reedcrew.api import errors

SCHEMES = {"https": 443, "http": 80}
LOCAL_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})
# Ways to write an IPv4 address as an IPv6 one (RFC 4291 2.5.5, RFC 6052, RFC 3056, RFC 4380): no public machine needs
# them in an address, and what they lead to is not what they say.
TRANSITION = tuple(
    ipaddress.ip_network(network)
    for network in ("::/96", "::ffff:0:0/96", "64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "2001::/32")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where one address leads: its parts, and the numbers of the machine, each of which was judged."""

    scheme: str
    host: str
    port: int
    path: str
    numbers: tuple[str, ...]

    @property
    def host_header(self) -> str:
        host = f"[{self.host}]" if ":" in self.host else self.host
        return host if self.port == SCHEMES[self.scheme] else f"{host}:{self.port}"


def ask_reachable(url: str) -> Target:
    """Where an address leads now.

    Raises AddressNotWhole, AddressNotHttps, AddressNoName, or AddressNotPublic where any of the numbers that its name
    resolves to is not public: which of them would be used is not ours to choose.
    """
    scheme, host, port, path = _parts(url)
    local = not settings.HOSTED and host in LOCAL_NAMES
    if scheme != "https" and not local:
        raise errors.AddressNotHttps
    numbers = _numbers(host, port)
    if not all(_is_public(number) or (local and number.is_loopback) for number in numbers):
        raise errors.AddressNotPublic(host=host)
    return Target(scheme=scheme, host=host, port=port, path=path, numbers=tuple(str(number) for number in numbers))


# --- Private ---------------------------------------------------------------------------------------------------------

_Number = ipaddress.IPv4Address | ipaddress.IPv6Address


def _parts(url: str) -> tuple[str, str, int, str]:
    if not url.isascii() or not url.isprintable() or any(sign in url for sign in ' "<>\\^`{|}'):
        raise errors.AddressNotWhole
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise errors.AddressNotWhole from error
    scheme, host = parts.scheme.lower(), (parts.hostname or "").rstrip(".")
    if scheme not in SCHEMES or not host or "@" in parts.netloc or "#" in url or port == 0:
        raise errors.AddressNotWhole
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return scheme, host, port or SCHEMES[scheme], path


def _numbers(host: str, port: int) -> list[_Number]:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError) as error:
        raise errors.AddressNoName(host=host) from error
    # A number of a link may carry the link's name behind a percent sign.
    return [ipaddress.ip_address(str(address[0]).partition("%")[0]) for *_kind, address in found]


def _is_public(number: _Number) -> bool:
    return (
        number.is_global
        and not number.is_multicast
        and not number.is_reserved
        and not any(number in network for network in TRANSITION if network.version == number.version)
    )
