"""What the app is asked is waited for as long as a page is: machines are busy, and no test is timed."""

from functools import partial

import httpx

PATIENCE_S = 120.0

get = partial(httpx.get, timeout=PATIENCE_S)
post = partial(httpx.post, timeout=PATIENCE_S)
