"""The addresses of this machine in the shop's own network, found without sending anything to anybody."""

import socket
from ipaddress import AddressValueError, IPv4Address

NEIGHBOURS = ("192.168.0.1", "10.0.0.1", "172.16.0.1", "192.0.2.1")
"""An address in each range for private use (RFC 1918), and one that belongs to nobody (RFC 5737): from which of our
addresses would we ask it? The system answers that from its own table of routes; of a datagram socket nothing is sent
before there is something to send."""


def own_addresses() -> tuple[str, ...]:
    """Return the addresses at which the shop's network reaches this machine, the likeliest first; none without one."""
    found = (_address_towards(neighbour) for neighbour in NEIGHBOURS)
    return tuple(dict.fromkeys(one for one in found if is_shop_address(one)))


def is_shop_address(text: str) -> bool:
    """Whether this is the address of one machine in a network for private use: never everybody's, never loopback."""
    try:
        address = IPv4Address(text)
    except AddressValueError:
        return False
    return address.is_private and not (address.is_loopback or address.is_unspecified or address.is_reserved)


def _address_towards(neighbour: str) -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((neighbour, 9))
        except OSError:
            return ""
        return str(asking.getsockname()[0])
