"""The door: what every request passes before the app sees it, and every answer before the browser does.

A plain ASGI application round the app, outermost, for pages and sockets alike. It turns away whoever asks under
another name or for another page (`door_rules`), asks visitors from the network for the key (`share`), and tells the
browser what the page may do (`door_headers`).
"""

from __future__ import annotations

import html
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import parse_qs

from stopcut.app.door_headers import Headers, guarded, new_nonce, page_policy, with_nonce
from stopcut.app.door_rules import Asked, Refusal, asked_of, own_names, refusal
from stopcut.app.share import COOKIE, Pass, Share

__all__ = ["ASGIApp", "Door"]

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
ASGIApp = Callable[[MutableMapping[str, Any], Receive, Send], Awaitable[None]]

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
"""What a browser on this machine may call it."""
_DROPPED = (b"x-forwarded-", b"forwarded")
"""Headers for a server behind another one, which this is not: a visitor could say anything with them."""

_NO_KEY = Refusal(403, "stopcut is shared with a key: open it with the code that its page shows.")
_WRONG = Refusal(403, "This key is not today's: open stopcut with the code that its page shows now.")
_WAIT = Refusal(429, "There were too many wrong keys. Wait a minute, then open the code that the page shows.")
_TURNED_AWAY: dict[Pass, Refusal | Headers] = {Pass.NO_KEY: _NO_KEY, Pass.WRONG: _WRONG, Pass.WAIT: _WAIT}

_BY_KEY = {_NO_KEY.says, _WRONG.says, _WAIT.says}
"""What a visitor may mend: a link from elsewhere brings what they carry only once they follow it from this page."""
_CLEAN = (b"location", b"/")


class Door:
    """The app behind its door, on this port of this machine, and of its network's address where it is shared."""

    def __init__(self, app: ASGIApp, *, port: int, share: Share | None = None) -> None:
        self.app = app
        self._here = own_names(LOOPBACK, port)
        self._share = share
        self._there = own_names((share.host,), share.port) if share else frozenset()

    async def __call__(self, scope: MutableMapping[str, Any], receive: Receive, send: Send) -> None:
        """Let a request in, or answer it here."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        asked = asked_of(scope)
        met = self._met(scope, asked)
        if isinstance(met, Refusal):
            await _turn_away(scope, receive, send, met)
        elif met:
            await _answer(send, 303, "", met)
        else:
            scope["headers"] = [one for one in scope["headers"] if not one[0].lower().startswith(_DROPPED)]
            out = send if asked.socket else _Guarding(send, asked.hosts[0].lower()).send
            await self.app(scope, receive, out)

    def _met(self, scope: MutableMapping[str, Any], asked: Asked) -> Refusal | Headers:
        """Why a request is not let in, or with which headers its browser is sent on to the clean address, if it is."""
        server = scope.get("server")
        share = self._share if self._share and server and server[0] == self._share.host else None
        refused = refusal(asked, self._there if share else self._here)
        if refused is not None:
            return refused
        key = _key(scope)
        if share is None:
            return [] if key is None else [_CLEAN]
        client = scope.get("client")
        found = share.look(client[0] if client else "", key, _carried(asked))
        if found is Pass.WELCOME:
            return [_CLEAN, (b"set-cookie", share.cookie().encode())]
        return _TURNED_AWAY.get(found, [])


class _Guarding:
    """One answer on its way out: the guards in its headers, and a page's nonce on its scripts."""

    def __init__(self, send: Send, host: str) -> None:
        self._send, self._host = send, host
        self._start: Message | None = None
        self._page: list[bytes] = []

    async def send(self, message: Message) -> None:
        """Pass a message on; a page is held until it is whole."""
        if message["type"] == "http.response.start":
            headers = list(message.get("headers", ()))
            if any(name.lower() == b"x-nicegui-content" for name, _ in headers):
                self._start = message
                return
            message["headers"] = guarded(headers, page_policy(self._host))
        elif message["type"] == "http.response.body" and self._start is not None:
            self._page.append(message.get("body", b""))
            if message.get("more_body", False):
                return
            message = await self._whole()
        await self._send(message)

    async def _whole(self) -> Message:
        assert self._start is not None
        nonce = new_nonce()
        page = with_nonce(b"".join(self._page), nonce)
        headers = [one for one in self._start["headers"] if one[0].lower() != b"content-length"]
        headers.append((b"content-length", str(len(page)).encode()))
        self._start["headers"] = guarded(headers, page_policy(self._host, nonce))
        await self._send(self._start)
        return {"type": "http.response.body", "body": page}


async def _turn_away(scope: MutableMapping[str, Any], receive: Receive, send: Send, refused: Refusal) -> None:
    """Answer a request that is not let in; a socket is closed before it opens."""
    if scope["type"] != "websocket":
        await _answer(send, refused.status, refused.says)
        return
    await receive()
    if "websocket.http.response" in (scope.get("extensions") or {}):
        await _answer(send, refused.status, refused.says, kind="websocket.http.response")
    else:
        await send({"type": "websocket.close", "code": 1008, "reason": refused.says[:120]})


async def _answer(send: Send, status: int, says: str, more: Headers | None = None, kind: str = "http.response") -> None:
    """A small page of one sentence, from which one may try again."""
    again = '<p><a href="/">Try again</a></p>' if says in _BY_KEY else ""
    body = (
        '<!doctype html><html lang="en"><meta name="viewport" content="width=device-width"><title>stopcut</title>'
        f"<p>{html.escape(says)}</p>{again}</html>\n"
    ).encode()
    headers = [
        (b"content-type", b"text/html; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
        (b"cache-control", b"no-store"),
        *(more or ()),
    ]
    policy = b"default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    await send({"type": f"{kind}.start", "status": status, "headers": guarded(headers, policy)})
    await send({"type": f"{kind}.body", "body": body})


def _key(scope: MutableMapping[str, Any]) -> str | None:
    """The key that a page's address brings along."""
    if scope["type"] != "http" or scope["path"] != "/" or scope.get("method") != "GET":
        return None
    found = parse_qs(scope.get("query_string", b"").decode("latin-1"), keep_blank_values=True)
    return found["key"][0] if "key" in found else None


def _carried(asked: Asked) -> str | None:
    """What a visitor carries since they had the key."""
    for pair in ";".join(asked.cookies).split(";"):
        name, _, value = pair.partition("=")
        if name.strip() == COOKIE:
            return value.strip()
    return None
