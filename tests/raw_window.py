"""A window on the app without a browser, for what no browser would send: a page's elements, and events for them."""

from __future__ import annotations

import contextlib
import html
import json
import re
import threading
import time
import uuid
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import httpx
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

PATIENCE_S = 60.0


class RawWindow:
    """A page that is open, its elements as the app has told them so far (Engine.IO 4 and Socket.IO 5 by hand)."""

    def __init__(self, address: str, path: str) -> None:
        self.http = httpx.Client(base_url=address, timeout=PATIENCE_S)
        text = self.http.get(path).text
        shown = re.search(r"parseElements\(String\.raw`(.*?)`\)", text, re.S)
        client = re.search(r"'client_id': '([0-9a-f-]+)'", text)
        assert shown
        assert client
        self._elements: dict[int, dict[str, Any]] = {
            int(key): one for key, one in json.loads(html.unescape(shown[1])).items()
        }
        self._client = client[1]
        self._lock = threading.Lock()
        asked = {
            "EIO": 4,
            "transport": "websocket",
            "client_id": self._client,
            "next_message_id": 0,
            "implicit_handshake": "true",
            "document_id": uuid.uuid4(),
            "tab_id": uuid.uuid4(),
            "old_tab_id": "",
        }
        cookie = "; ".join(f"{name}={value}" for name, value in self.http.cookies.items())
        self._ends = contextlib.ExitStack()
        opening = connect(
            f"{address.replace('http', 'ws', 1)}/_nicegui_ws/socket.io/?{urlencode(asked)}",
            origin=address,  # type: ignore[arg-type]
            additional_headers={"Cookie": cookie} if cookie else {},
            max_size=None,
            open_timeout=PATIENCE_S,
            ping_interval=None,
        )
        self._socket = self._ends.enter_context(opening)
        self._socket.send("40")
        self._open = threading.Event()
        threading.Thread(target=self._listen, daemon=True).start()
        assert self._open.wait(PATIENCE_S)

    def __enter__(self) -> RawWindow:
        return self

    def __exit__(self, *_: object) -> None:
        self._ends.close()
        self.http.close()

    def elements(self) -> list[dict[str, Any]]:
        with self._lock:
            return list(self._elements.values())

    def ids(self, tag: str) -> list[int]:
        with self._lock:
            return [key for key, one in self._elements.items() if one.get("tag") == tag]

    def texts(self) -> list[str]:
        return [one["text"] for one in self.elements() if one.get("text")]

    def field(self, label: str) -> int | None:
        """The input of a label."""
        names = [one["props"].get("for") for one in self.elements() if one.get("text") == label and "props" in one]
        with self._lock:
            wanted = (key for key, one in self._elements.items() if one.get("props", {}).get("input-id") in names)
            return next(wanted, None)

    def value(self, label: str) -> str:
        """What stands in a field, as the app has told it; "" where there is none yet."""
        field = self.field(label)
        with self._lock:
            return self._elements[field]["props"].get("value") or "" if field is not None else ""

    def fault(self, label: str) -> str:
        """What is said under a field."""
        field = self.field(label)
        with self._lock:
            place = next(one for one in self._elements.values() if field in one.get("children", []))
            beside = [self._elements[child] for child in place["children"] if child in self._elements]
        return next(one.get("text", "") for one in beside if "fault" in one.get("class", []))

    def listeners(self, element: int) -> list[tuple[str, str]]:
        """What is heard of an element: kind and number."""
        with self._lock:
            return [(one["type"], one["listener_id"]) for one in self._elements[element].get("events", [])]

    def send(self, element: int, kind: str, *arguments: object) -> None:
        """An event of an element, to all who hear it."""
        heard = [number for one, number in self.listeners(element) if one == kind]
        assert heard
        for number in heard:
            self.send_to(element, number, *arguments)

    def send_to(self, element: int, listener: str, *arguments: object) -> None:
        """An event of an element, to one who hears it."""
        event = {"id": element, "client_id": self._client, "listener_id": listener}
        event["args"] = [json.dumps(one) for one in arguments]
        self._socket.send("42" + json.dumps(["event", event]))

    def write(self, label: str, value: str) -> None:
        """Write into a field and leave it."""
        field = self.field(label)
        assert field is not None
        put = self.value(label)
        self.send(field, "update:value", value)
        self.send(field, "blur", {"value": value, "put": put})

    def press(self, word: str) -> None:
        with self._lock:
            element = next(key for key, one in self._elements.items() if one.get("text") == word and one.get("events"))
        self.send(element, "click")

    def until(self, holds: Callable[[], object]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not holds():
            assert time.monotonic() < end, "nothing came of it"
            time.sleep(0.02)

    def _listen(self) -> None:
        with contextlib.suppress(ConnectionClosed):
            for said in self._socket:
                if said == "2":
                    self._socket.send("3")
                elif isinstance(said, str) and said.startswith("40"):
                    self._open.set()
                elif isinstance(said, str) and said.startswith("42"):
                    name, *told = json.loads(said[2:])
                    if name == "update":
                        self._take(told[0])
                    elif name == "run_javascript":
                        self._put(told[0]["code"])

    def _put(self, code: str) -> None:
        """A value that is put into a field."""
        put = re.search(r'\}\)\((\d+, "field-.*)\)$', code, re.S)
        if put:
            element, _, _, value = json.loads(f"[{put[1]}]")
            with self._lock:
                if element in self._elements:
                    self._elements[element]["props"]["value"] = value

    def _take(self, changed: dict[str, Any]) -> None:
        with self._lock:
            for key, one in changed.items():
                if one is None:
                    self._elements.pop(int(key), None)
                elif key != "_id":
                    self._elements[int(key)] = one


class Noting(RawWindow):
    """A window that notes every revision that it is told to show as saved."""

    def __init__(self, address: str, path: str) -> None:
        self.saved: set[int] = set()
        super().__init__(address, path)

    def _take(self, changed: dict[str, Any]) -> None:
        super()._take(changed)
        for one in changed.values():
            revision = one and isinstance(one, dict) and one.get("props", {}).get("data-revision")
            if revision and one.get("text", "").startswith("saved"):
                self.saved.add(int(revision))
