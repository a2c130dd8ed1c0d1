"""The machine's own addresses in the home network, and on which of them guests are served."""

from __future__ import annotations

import ipaddress
import socket
import struct
import sys
from contextlib import suppress
from dataclasses import dataclass

SOMEWHERE_ELSE = "192.0.2.1"
"""An address set aside for documentation (RFC 5737): asking for the way there sends nothing."""


@dataclass(frozen=True, slots=True)
class Share:
    """How to serve guests: on which own address (None: the usual) and port (None: 8766 on)."""

    address: str | None = None
    port: int | None = None


def home_addresses() -> tuple[str, ...]:
    """Return the IPv4 addresses by which others in the house reach this machine.

    The one on the way to everywhere else is first. Loopback is left out, and so is any address
    that the whole internet can reach.
    """
    found = [_on_the_way(), *_of_interfaces(), *_of_name()]
    return tuple(dict.fromkeys(a for a in found if a is not None and is_home(a)))


def is_home(address: str) -> bool:
    """Return whether an address is one of a home network and not of this machine alone."""
    try:
        found = ipaddress.IPv4Address(address)
    except ValueError:
        return False
    return not (found.is_global or found.is_loopback or found.is_unspecified or found.is_multicast)


def is_loopback(address: str) -> bool:
    """Return whether an address is of this machine alone."""
    try:
        return ipaddress.IPv4Address(address).is_loopback
    except ValueError:
        return False


def _on_the_way() -> str | None:
    """Return the own address that packets to elsewhere would carry; connecting UDP sends none."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect((SOMEWHERE_ELSE, 9))
        return str(way.getsockname()[0])
    return None


def _of_interfaces() -> list[str]:
    if sys.platform != "linux":
        return []
    import fcntl

    addresses = []
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        for _, name in socket.if_nameindex():
            # SIOCGIFADDR; an interface without an IPv4 address answers with an error.
            with suppress(OSError):
                packed = fcntl.ioctl(asking, 0x8915, struct.pack("256s", name.encode()[:15]))
                addresses.append(socket.inet_ntoa(packed[20:24]))
    return addresses


def _of_name() -> list[str]:
    with suppress(OSError):
        return [str(found[4][0]) for found in socket.getaddrinfo(socket.gethostname(), None)]
    return []
