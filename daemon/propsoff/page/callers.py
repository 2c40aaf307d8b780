"""Who may call over TCP: under which name the bench is called, and from which site a browser does it.

A browser on this machine can be made to call 127.0.0.1 by any site that its user visits. The name it calls tells a site
whose name was bound to our address after it was loaded (DNS rebinding), `Origin` and `Sec-Fetch-Site` (Fetch Standard
3.2, W3C Fetch Metadata) any other.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable, Mapping
from urllib.parse import urlsplit

from propsoff.page.problems import ProblemError

_OWN = ("same-origin", "none")
"""`none`: a person typed the address, or opened a bookmark."""


def is_loopback(address: str) -> bool:
    """Whether what is served there can be reached from this machine alone."""
    if address.lower() == "localhost":
        return True
    ip = _ip(address)
    return ip is not None and ip.is_loopback


def source_of(address: str) -> str:
    """Whose bounds a caller at an address shares: of IPv6 the whole network, as one machine may have all its addresses.

    Source of the length of 64 bits: RFC 4291, 2.5.4.
    """
    ip = _ip(address)
    if not isinstance(ip, ipaddress.IPv6Address):
        return address if ip is None else str(ip)
    return str(ipaddress.IPv6Network((int(ip) >> 64 << 64, 64)))


def host_of(header: str) -> str:
    """The name or address of a Host header, without its port, in small letters; empty when it is none."""
    try:
        parts = urlsplit(f"//{header}")
        _ = parts.port
        name = parts.hostname or ""
    except ValueError:
        return ""
    return "" if parts.username is not None or parts.path or parts.query or parts.fragment else name.rstrip(".")


class Callers:
    """The rules of one address. `hosts` are further names of it."""

    def __init__(self, address: str, hosts: Iterable[str] = ()) -> None:
        self._names = {"localhost", address.lower(), *(host.lower().rstrip(".") for host in hosts)}
        ip = _ip(address)
        self._everywhere = ip is not None and ip.is_unspecified

    def refuse_foreign(self, headers: Mapping[str, str], local: str, *, page: bool) -> None:
        """Raises ProblemError for a request under another name or from another site.

        `local` is the address that the connection came to, `page` whether it asks for a page, which anyone may link to.
        """
        host = headers.get("host", "")
        if not self._is_name(host_of(host), local):
            raise ProblemError(
                "wrong-host",
                f"the bench is not known as {host[:200]!r}; call it by its address, or add the name to page.hosts",
            )
        origin = headers.get("origin")
        if origin is not None and not _is_origin(origin, host):
            raise ProblemError(
                "wrong-origin", f"{origin[:200]!r} is another site; only the bench's own page may ask it"
            )
        site = headers.get("sec-fetch-site")
        linked = page and headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
        if site is not None and site.lower() not in _OWN and not linked:
            raise ProblemError("wrong-origin", "a page of another site asked; only the bench's own page may ask it")

    def _is_name(self, name: str, local: str) -> bool:
        if name in self._names or is_loopback(name):
            return bool(name)
        ip, here = _ip(name), _ip(local)
        return self._everywhere and ip is not None and ip == here


def _is_origin(origin: str, host: str) -> bool:
    scheme, _, rest = origin.partition("://")
    return scheme.lower() in ("http", "https") and bool(rest) and rest.lower() == host.lower()


def _ip(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """An address; one of IPv4 as such also where a socket of IPv6 gives it (`::ffff:192.0.2.7`: RFC 4291, 2.5.5.2)."""
    try:
        ip = ipaddress.ip_address(text)
    except ValueError:
        return None
    return ip if isinstance(ip, ipaddress.IPv4Address) else ip.ipv4_mapped or ip
