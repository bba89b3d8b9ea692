"""Odd requests at the app's door, written by hand onto its socket, and what must not come of them.

A request either tells one lie that no browser on the app's own page would tell (another host, another page's origin,
a way out of the root, a method that is none) and must stay outside, or tells none and is odd in all else. That a lie
stays outside is known by how the request was made, not by the door's own rules. Nothing may be answered by a 500, show
a library's words, or stop the app from answering; and whatever was in its store before is there after, and no more.
"""

from __future__ import annotations

import random
import re
import socket
from contextlib import closing
from dataclasses import dataclass

__all__ = ["SECRET", "Request", "Told", "asked", "odd_request", "what_is_wrong"]

SECRET = "Quince hedge by the east gate"
"""The title of a job in the store: what an answer to a lie must not show."""
PATIENCE_S = 300.0
"""How long an answer may take. [s] Our choice: a busy machine draws all of a board's sheets for more than a minute."""
MOST_READ = 4 * 2**20

_INNER = re.compile(rb"Traceback|most recent call last|File \"|Internal Server Error")
_OTHERS = [
    "marrow.example",
    "127.0.0.1.marrow.example:{port}",
    "localhost:1",
    "127.0.0.1",
    "[::1]",
    "0.0.0.0:{port}",
    "",
]
_PAGES = ["http://marrow.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1", "file://", "http://[::1]"]
_UP = ["/../app/app.log", "/static/../../workshop.db", "/%2e%2e/workshop.db", "/a/%252e%252e/b", "//marrow.example/",
       "/a\\..\\b", "/%00", "/a%0d%0aX-Own:1"]  # fmt: skip
_PLACES = ["/", "/job/{job}/brief", "/job/{job}/job.toml", "/job/{job}/sheets/1/all.zip", "/job/{job}/picture/1.png",
           "/job/{job}/bench/minutes", "/job/x/brief", "/_nicegui_ws/socket.io/?EIO=4&transport=websocket", "/tools",
           "/job/{job}/sheets/1/pattern.pdf?paper=A4", "/favicon.ico", "/nowhere"]  # fmt: skip
_BAD_METHODS = ["TRACE", "CONNECT", "OPTIONS", "PROPFIND", "get", "G\x00T", "X" * 3000]
_WRITING = ["POST", "PUT", "DELETE", "PATCH"]
_UPGRADE = {
    "Upgrade": "websocket", "Connection": "Upgrade", "Sec-WebSocket-Version": "13",
    "Sec-WebSocket-Key": "TWFycm93TGFuZTE4OTc3Nw==",
}  # fmt: skip
_BODIES = [b"", b"{}", b"[]", b"null", b"[1e999]", b"\xff\xfe", b"[" * 5000, b'[{"what":"minutes"}]', b"A" * 70_000]


@dataclass(frozen=True)
class Request:
    """The bytes of a request, and whether it must stay outside."""

    sent: bytes
    lies: bool


@dataclass(frozen=True)
class Told:
    """What came back: the status (0 where the connection was closed without one), and all of the answer."""

    status: int
    answer: bytes


def odd_request(rng: random.Random, port: int, job: str) -> Request:
    """Any request, for an app on this port with this job in its store."""
    own = f"127.0.0.1:{port}"
    method, target = rng.choice(["GET", "GET", "HEAD", *_WRITING]), rng.choice(_PLACES)
    headers = [("Host", own)]
    body = rng.choice(_BODIES) if method in _WRITING else b""
    socket_asked = rng.random() < 0.15
    if socket_asked:
        method, body = "GET", b""
        headers += list((_UPGRADE).items())
    if method in _WRITING or socket_asked:
        headers.append(("Origin", f"http://{own}"))
    lie = rng.choice(["", "", "host", "hosts", "origin", "origins", "site", "up", "method", "length", "none"])
    if lie == "host":
        headers[0] = ("Host", rng.choice(_OTHERS).format(port=port))
    elif lie == "hosts":
        headers.insert(rng.randrange(2), ("Host", "marrow.example"))
    elif lie == "origin":
        headers = [one for one in headers if one[0] != "Origin"]
        headers.append(("Origin", rng.choice(_PAGES).format(port=port)))
    elif lie == "origins":
        headers += [("Origin", f"http://{own}"), ("Origin", "http://marrow.example")]
    elif lie == "site":
        headers.append(("Sec-Fetch-Site", rng.choice(["cross-site", "same-site"])))
    elif lie == "up":
        target = rng.choice(_UP)
    elif lie == "method":
        method = rng.choice(_BAD_METHODS)
    elif lie == "length":
        method = "POST"
        headers = [one for one in headers if one[0] in ("Host", "Origin")]
        headers.append(rng.choice([("Transfer-Encoding", "chunked"), ("Content-Length", str(2**40))]))
    elif lie == "none":  # a page that does not say which it is, and wants to change something
        method = rng.choice(_WRITING)
        headers = [one for one in headers if one[0] == "Host"]
    headers += [_odd_header(rng) for _ in range(rng.choice([0, 0, 1, 3]))]
    if body and lie != "length":
        headers.append(("Content-Length", str(len(body))))
    if not socket_asked:
        headers.append(("Connection", "close"))
    head = f"{method} {target.format(job=job)} HTTP/1.1\r\n" + "".join(f"{n}: {v}\r\n" for n, v in headers)
    return Request(head.encode("latin-1") + b"\r\n" + (body if lie != "length" else b""), lie != "")


def _odd_header(rng: random.Random) -> tuple[str, str]:
    """A header that decides nothing: cookies that are none, proxies' words, bytes beyond ASCII, long ones."""
    name = rng.choice(
        ["Cookie", "Accept", "Range", "If-None-Match", "X-Forwarded-Host", "Forwarded", "Content-Type", "X-Marrow"]
    )
    value = rng.choice(["", "stopcut-browser=x", "bytes=9-1", "application/json", "\xe9" * 40, "A" * 5000, "host=a;b"])
    return name, value


def asked(request: Request, port: int) -> Told:
    """Send a request and read its answer, up to where the app closes the connection or has opened a socket.

    Raises TimeoutError where it does neither.
    """
    answer = b""
    with closing(socket.create_connection(("127.0.0.1", port), PATIENCE_S)) as line:
        try:
            line.sendall(request.sent)
            while len(answer) < MOST_READ and not _whole(answer):
                piece = line.recv(65536)
                if not piece:
                    break
                answer += piece
        except ConnectionError:  # closed while we were still speaking
            pass
    first = re.match(rb"HTTP/1\.1 (\d{3}) ", answer)
    return Told(int(first[1]) if first else 0, answer)


def _whole(answer: bytes) -> bool:
    """Whether a socket has been opened, or a body has come to its length."""
    head, _, body = answer.partition(b"\r\n\r\n")
    length = re.search(rb"(?i)\r\ncontent-length: (\d+)", head)
    return head.startswith(b"HTTP/1.1 101") or bool(length and body and len(body) >= int(length[1]))


def what_is_wrong(request: Request, told: Told) -> str:
    """What is wrong with an answer; "" for nothing."""
    if told.status >= 500:
        return f"answered by {told.status}"
    if _INNER.search(told.answer):
        return "an answer in a library's words"
    if request.lies and (0 < told.status < 400 or SECRET.encode() in told.answer):
        return f"a lie was let in with {told.status}"
    return ""
