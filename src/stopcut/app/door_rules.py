"""Who is turned away at the door, and in which words: pure rules over what a request says of itself.

A page elsewhere can make a browser ask this machine for things: under a name of its own that points here (DNS
rebinding), through a socket, by a form. A browser always says which name it believed it was asking (Host) and, where
it matters, which page asked (Origin, Sec-Fetch-Site): those two are held against the app's own address, and what does
not match is not answered (RFC 9110 section 7.2, RFC 6454, RFC 6455 section 10.2, Fetch Metadata Request Headers).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote_to_bytes

__all__ = ["MOST_BODY", "Asked", "Refusal", "asked_of", "own_names", "refusal"]

MOST_BODY = 22 * 2**20
"""Longest body of a request. [bytes] Our choice: the largest face that may be uploaded, and what a form adds to it."""
SAFE = frozenset({"GET", "HEAD"})
"""Methods that change nothing (RFC 9110 section 9.2.1) and that the app answers."""
HTTP_PORT = 80
"""The port that browsers leave out of Host and Origin (RFC 9110 section 4.2.1)."""
MOST_UNQUOTED = 3
"""How often a path is unquoted in search of a way out of it. Our choice: one more than any reader of it does."""

_NO_PATH = re.compile(rb"^//|[\x00-\x1f\x7f\\]|(?:^|/)\.\.(?:/|$)")


@dataclass(frozen=True, slots=True)
class Asked:
    """A request as far as the door looks at it; header values as they came, one for each time the header was there.

    socket says whether it asks for a websocket, target is the path as sent (before it was unquoted), places what the
    answer is wanted for (a document, a frame, a picture).
    """

    socket: bool
    method: str
    target: bytes
    hosts: tuple[str, ...]
    origins: tuple[str, ...]
    sites: tuple[str, ...]
    modes: tuple[str, ...]
    places: tuple[str, ...]
    lengths: tuple[str, ...]
    chunked: bool
    cookies: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refusal:
    """What a request is answered that is not let in: an HTTP status and a sentence."""

    status: int
    says: str


_OTHER_NAME = Refusal(403, "stopcut answers to its own address only: open the one that it said when it started.")
_OTHER_PAGE = Refusal(403, "Another page asked for this, and stopcut answers its own pages only.")
_NO_SUCH = Refusal(404, "There is nothing here by that name.")
_NO_METHOD = Refusal(405, "stopcut does not do that.")
_NO_LENGTH = Refusal(411, "How long this is was not said, so stopcut did not read it.")
_TOO_LONG = Refusal(413, f"This is larger than {MOST_BODY // 2**20} MB; stopcut did not read it.")


def own_names(hosts: Iterable[str], port: int) -> frozenset[str]:
    """What Host may say for an app at these hosts (IPv6 ones in brackets) and this port."""
    hosts = tuple(hosts)
    named = {f"{host}:{port}" for host in hosts}
    return frozenset(named | set(hosts) if port == HTTP_PORT else named)


def asked_of(scope: Mapping[str, Any]) -> Asked:
    """What an ASGI scope (http or websocket) asks."""
    headers: dict[bytes, list[str]] = {}
    for name, value in scope["headers"]:
        headers.setdefault(name.lower(), []).append(value.decode("latin-1").strip())

    def of(name: bytes) -> tuple[str, ...]:
        return tuple(headers.get(name, ()))

    return Asked(
        socket=scope["type"] == "websocket",
        method=scope.get("method", "GET"),
        target=scope.get("raw_path") or scope["path"].encode(),
        hosts=of(b"host"),
        origins=of(b"origin"),
        sites=of(b"sec-fetch-site"),
        modes=of(b"sec-fetch-mode"),
        places=of(b"sec-fetch-dest"),
        lengths=of(b"content-length"),
        chunked=b"transfer-encoding" in headers,
        cookies=of(b"cookie"),
    )


def refusal(asked: Asked, names: frozenset[str]) -> Refusal | None:
    """Why a request is not let in by an app of these names; None for one that is."""
    if len(asked.hosts) != 1 or asked.hosts[0].lower() not in names or not asked.target.startswith(b"/"):
        return _OTHER_NAME
    if not _own_origin(asked) or _from_elsewhere(asked):
        return _OTHER_PAGE
    if not _plain_path(asked.target):
        return _NO_SUCH
    return None if asked.socket else _wrong_body(asked)


def _own_origin(asked: Asked) -> bool:
    """Whether the page that asks is one of this very host's; one has to say so for a socket and to change anything."""
    if not asked.origins:
        return not asked.socket and asked.method in SAFE
    return len(asked.origins) == 1 and asked.origins[0].lower() == f"http://{asked.hosts[0].lower()}"


def _from_elsewhere(asked: Asked) -> bool:
    """Whether the browser says that another site's page asks, unless a person follows a link from there to a page."""
    site = asked.sites[0] if asked.sites else "same-origin"
    if len(asked.sites) > 1:
        return True
    led = asked.modes == ("navigate",) and asked.places == ("document",)
    link = led and not asked.socket and asked.method in SAFE
    return site not in ("same-origin", "none") and not link


def _plain_path(target: bytes) -> bool:
    """Whether a path, however often it is unquoted, leads nowhere but down from the root."""
    for _ in range(MOST_UNQUOTED):
        if _NO_PATH.search(target):
            return False
        target = unquote_to_bytes(target)
    return not _NO_PATH.search(target)


def _wrong_body(asked: Asked) -> Refusal | None:
    if asked.method not in SAFE | {"POST", "PUT", "DELETE", "PATCH"}:
        return _NO_METHOD
    if asked.chunked:
        return _NO_LENGTH
    lengths = [int(length) if length.isdecimal() and length.isascii() else MOST_BODY + 1 for length in asked.lengths]
    return _TOO_LONG if any(length > MOST_BODY for length in lengths) else None
