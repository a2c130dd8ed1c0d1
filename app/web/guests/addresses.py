"""The machine's own addresses in the home network, and on which of them guests are served."""

from __future__ import annotations

import socket
from contextlib import suppress
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Interface, IPv4Network

import ifaddr

SOMEWHERE_ELSE = "192.0.2.1"
"""An address set aside for documentation (RFC 5737): asking for the way there sends nothing."""


THIS_NETWORK = IPv4Network("0.0.0.0/8")
"""RFC 1122, 3.2.1.3: stands for this network, never for a machine in it."""
LOOPBACK_ENDS = ("127.0.0.0", "127.255.255.255")


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
    candidates = [_on_the_way(), *(str(one.ip) for one in interfaces()), *_of_name()]
    return tuple(dict.fromkeys(a for a in candidates if a is not None and is_home(a)))


def is_home(address: str) -> bool:
    """Return whether an address is one of a home network and not of this machine alone.

    What names no single machine is none: the network itself, everybody in it, groups. What lies
    in no network of this machine's own is judged by its number alone.
    """
    try:
        ip = IPv4Address(address)
    except ValueError:
        return False
    if ip.is_global or ip.is_loopback or ip.is_unspecified or ip.is_multicast:
        return False
    if ip.is_reserved or ip in THIS_NETWORK:
        return False
    nets = [one.network for one in interfaces() if ip in one.network]
    # a network of one or two machines has no address that stands for all
    wide = [net for net in nets if net.prefixlen < 31]
    return all(ip not in (net.network_address, net.broadcast_address) for net in wide)


def is_loopback(address: str) -> bool:
    """Return whether an address is of this machine alone."""
    try:
        return IPv4Address(address).is_loopback and address not in LOOPBACK_ENDS
    except ValueError:
        return False


def _on_the_way() -> str | None:
    """Return the own address that packets to elsewhere would carry; connecting UDP sends none."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect((SOMEWHERE_ELSE, 9))
        return str(way.getsockname()[0])
    return None


def interfaces() -> list[IPv4Interface]:
    """Return the IPv4 addresses of all interfaces with their networks, on every system alike."""
    with suppress(OSError):
        every = [ip for adapter in ifaddr.get_adapters() for ip in adapter.ips if ip.is_IPv4]
        return [IPv4Interface(f"{ip.ip}/{ip.network_prefix}") for ip in every]
    return []


def _of_name() -> list[str]:
    with suppress(OSError):
        return [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None)]
    return []
