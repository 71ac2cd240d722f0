"""Tests talk to this machine only: an attempt to reach another one is an error, not a slow test."""

import socket
from ipaddress import ip_address
from typing import Any

NAMES = {"localhost", "", None, b"localhost"}
NOBODYS = ("example", "invalid", "test")  # ends of names that no machine has (RFC 2606, 2)


class OutsideNetwork(RuntimeError):
    """A test tried to reach another machine."""


def refuse_outside(event: str, arguments: tuple[Any, ...]) -> None:
    """An audit hook (see :func:`sys.addaudithook`) that lets through this machine's own addresses."""
    match event:
        case "socket.connect" | "socket.sendto":
            asked, address = arguments[0], arguments[1]
            if asked.family not in {socket.AF_INET, socket.AF_INET6}:
                return
            host = address[0]
        case "socket.getaddrinfo" | "socket.gethostbyname":
            host = arguments[0]
            if _is_number(host):
                return  # nobody is asked what a number means; connecting to it is another event
            if isinstance(host, str) and host.rpartition(".")[2] in NOBODYS:
                raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")  # as any name server says
        case _:
            return
    if not _here(host):
        raise OutsideNetwork(f"A test tried to reach {host!r}. Tests talk to servers of this machine only.")


def _is_number(host: str | bytes | None) -> bool:
    """Whether a host is a machine's number in any writing, of IPv4 also with fewer parts or octal."""
    text = host.decode() if isinstance(host, bytes) else str(host)
    try:
        if ":" in text:
            return bool(ip_address(text))
        return bool(socket.inet_aton(text))
    except (ValueError, OSError):
        return False


def _here(host: str | bytes | None) -> bool:
    if host in NAMES or host == socket.gethostname():
        return True
    try:
        address = ip_address(host.decode() if isinstance(host, bytes) else str(host))
    except ValueError:
        return False
    return address.is_loopback or address.is_unspecified
