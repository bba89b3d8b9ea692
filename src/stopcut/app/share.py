"""Sharing with the own network: for the tablet at the bench, behind a key that only the page shows.

`Share` is one start's sharing: the machine's address on its network, the key of the first visit, what a visitor who
had the key carries from then on, and how many wrong keys are borne. `ShareCard` is what the page shows of it. The key
is new on each start, is never written anywhere, and is not part of what these values print as.
"""

from __future__ import annotations

import hashlib
import hmac
import ipaddress
import secrets
import socket
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum, auto

import segno

from stopcut.errors import CarverError

__all__ = ["COOKIE", "Pass", "Share", "ShareCard", "network_address", "share_card", "show_share"]

KEY_BYTES = 24
"""Of the key: 192 bits, so it cannot be guessed, and the code stays coarse enough for a tablet's camera. Our choice."""
COOKIE = "stopcut-share"
WINDOW_S = 60.0
"""For how long a wrong key counts. [s] Our choice."""
MOST_WRONG = 5
"""Different wrong keys of one address within the window. Our choice: a person has one key to try."""
MOST_WRONG_IN_ALL = 30
"""Different wrong keys of all addresses within the window. Our choice: more tablets than a workshop has."""
QUIET_MODULES = 4
"""Empty modules round the code (ISO/IEC 18004, quiet zone of a QR code symbol)."""
CODE_INK, CODE_PAPER = "#20282B", "#FFFFFF"
"""Ink on the light sheet in either scheme, since readers look for dark on light: contrast 14.9 to 1."""
ELSEWHERE = "198.51.100.1"
"""An address for documentation (RFC 5737): asking by which way it would be reached sends nothing."""

CAUTION = (
    "Anyone on this network who has this code can see and change your jobs, "
    "and what passes between here and there is not hidden from the network. Share on your own network only."
)


@dataclass(frozen=True, slots=True)
class ShareCard:
    """What the page shows so that a tablet can come in.

    address is what the code says, with the key; plain_address the same without; code_svg the QR code as an SVG element
    with its quiet zone, without a size of its own; says and caution are sentences.
    """

    address: str = field(repr=False)
    plain_address: str
    code_svg: str = field(repr=False)
    says: str
    caution: str


class Pass(Enum):
    """What becomes of a visitor from the network."""

    IN = auto()
    """Carries what one who had the key is given."""
    WELCOME = auto()
    """Has the right key: is to be given it."""
    NO_KEY = auto()
    WRONG = auto()
    WAIT = auto()
    """Too many wrong keys: nothing more is looked at for a while."""


class Share:
    """One start's sharing at host (the machine's own address on its network) and port."""

    def __init__(self, host: str, port: int, *, clock: Callable[[], float] = time.monotonic) -> None:
        self.host, self.port = host, port
        self._key = secrets.token_urlsafe(KEY_BYTES)
        self._carried = secrets.token_urlsafe(KEY_BYTES)
        self._clock = clock
        self._wrong: deque[tuple[float, str, bytes]] = deque()

    @property
    def plain_address(self) -> str:
        """Where it is, without the key."""
        return f"http://{self.host}:{self.port}"

    def card(self) -> ShareCard:
        """What the page shows."""
        address = f"{self.plain_address}/?key={self._key}"
        return ShareCard(
            address=address,
            plain_address=self.plain_address,
            code_svg=_code(address),
            says=f"On a tablet on this network, point the camera here. It opens {self.plain_address}.",
            caution=CAUTION,
        )

    def cookie(self) -> str:
        """The Set-Cookie value for one who had the key: for the browser's session, and of no use after this start."""
        return f"{COOKIE}={self._carried}; HttpOnly; SameSite=Strict; Path=/"

    def look(self, address: str, key: str | None, carried: str | None) -> Pass:
        """Whether a visitor at this address may come in with this key, or with what they carry.

        One and the same wrong thing is counted once, so that a tablet which still carries an earlier start's cookie
        does not shut itself out by asking again.
        """
        self._forget()
        of_address = sum(other == address for _, other, _ in self._wrong)
        if of_address >= MOST_WRONG:
            return Pass.WAIT
        if carried is not None and _same(carried, self._carried):
            return Pass.IN if key is None else Pass.WELCOME
        if key is None and carried is None:
            return Pass.NO_KEY
        if len(self._wrong) >= MOST_WRONG_IN_ALL:
            return Pass.WAIT
        if key is not None and _same(key, self._key):
            return Pass.WELCOME
        self._count(address, carried if key is None else key)
        return Pass.WRONG

    def _count(self, address: str, wrong: str | None) -> None:
        digest = hashlib.blake2b((wrong or "").encode("utf-8", "replace"), digest_size=16).digest()
        if not any(other == address and seen == digest for _, other, seen in self._wrong):
            self._wrong.append((self._clock(), address, digest))

    def _forget(self) -> None:
        while self._wrong and self._clock() - self._wrong[0][0] > WINDOW_S:
            self._wrong.popleft()


_card: ShareCard | None = None


def show_share(card: ShareCard | None) -> None:
    """From now on the page shows this."""
    global _card
    _card = card


def share_card() -> ShareCard | None:
    """What the page is to show of the sharing; None where the app serves this machine alone."""
    return _card


def network_address() -> str:
    """This machine's own IPv4 address on its network. Raises CarverError where it has none to share on."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((ELSEWHERE, 9))
            found = str(asking.getsockname()[0])
        except OSError:
            found = ""
    if not found or ipaddress.ip_address(found).is_loopback:
        raise CarverError("This machine is on no network now, so there is nothing to share on.")
    if ipaddress.ip_address(found).is_global:
        raise CarverError(
            f"This machine's address ({found}) can be reached from everywhere, so stopcut does not share on it. "
            "Share on a network of your own."
        )
    return found


def _same(said: str, kept: str) -> bool:
    """Whether two secrets are one, taking as long whatever is said."""
    return hmac.compare_digest(said.encode("utf-8", "replace"), kept.encode())


def _code(address: str) -> str:
    drawn: str = segno.make(address, error="m", micro=False).svg_inline(
        dark=CODE_INK,
        light=CODE_PAPER,
        border=QUIET_MODULES,
        omitsize=True,
        title="Code that opens stopcut on a tablet",
        svgclass="share-code",
        lineclass="",
    )
    return drawn.replace("<svg ", '<svg role="img" shape-rendering="crispEdges" ', 1)
