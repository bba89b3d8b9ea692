"""What every answer tells the browser it may do with it: run the app's own scripts, ask the app, and nothing else."""

from __future__ import annotations

import secrets
from collections.abc import Iterable

__all__ = ["Headers", "guarded", "new_nonce", "page_policy", "with_nonce"]

Headers = list[tuple[bytes, bytes]]

_FIXED: Headers = [
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=()"),
]
_REPLACED = {name for name, _ in _FIXED} | {b"content-security-policy", b"access-control-allow-origin", b"server"}

NONCE_BYTES = 16
"""Of a page's nonce. Content Security Policy Level 3, section 8.1: at least 128 bits."""


def new_nonce() -> str:
    """A nonce for one page."""
    return secrets.token_urlsafe(NONCE_BYTES)


def page_policy(host: str, nonce: str = "") -> bytes:
    """The Content-Security-Policy of an answer to this Host (one that was let in), with the nonce of its scripts.

    The page's own framework reckons with eval and writes styles into the page, so those two stand open; scripts are
    the app's own files, or written into the page with its nonce. The socket is named besides 'self' for browsers that
    do not count it among it.
    """
    script = f"'self' 'nonce-{nonce}' 'unsafe-eval'" if nonce else "'self'"
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {script}",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self'",
            f"connect-src 'self' ws://{host}",
            "manifest-src 'self'",
            "worker-src 'self'",
            "base-uri 'none'",
            "form-action 'self'",
            "frame-ancestors 'none'",
        ]
    ).encode("latin-1")


def guarded(headers: Iterable[tuple[bytes, bytes]], policy: bytes) -> Headers:
    """An answer's headers with the guards, in place of its own by those names."""
    kept = [(name, value) for name, value in headers if name.lower() not in _REPLACED]
    return [*kept, *_FIXED, (b"content-security-policy", policy)]


def with_nonce(page: bytes, nonce: str) -> bytes:
    """A page with its nonce on every script of its own.

    The page is made of templates; what a carver wrote stands in it escaped, so each "<script" is one of the app's.
    """
    return page.replace(b"<script", b'<script nonce="' + nonce.encode() + b'"')
