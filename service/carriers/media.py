"""Fetching what came with a text: from the carrier's own addresses only, no larger than allowed.

Who posts a text could name any address in it; the account's secret goes to the carrier's API host and nowhere else,
and nothing is fetched from any other host but those that the carrier itself is documented to redirect to.
"""

from __future__ import annotations

from collections.abc import Collection
from urllib.parse import urljoin, urlsplit

import httpx

MOST_REDIRECTS = 3
LATER = frozenset({404, 408, 425, 429})
"""Answers after which it may be there in a while: it is listed a moment before it can be had (twilio-node 636)."""


class NotFetched(Exception):
    """The root: a medium was not fetched.

    NotFetched
    ├── NotYet      it may be had later: busy, out of reach, not there yet
    └── Never       it may not be fetched, is too large, or the carrier refuses it
    """

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class NotYet(NotFetched):
    """It may be had later."""


class Never(NotFetched):
    """It will never be had: `why` is "foreign_address", "too_large", or the HTTP status."""


def fetch(client: httpx.Client, url: str, *, api: str, prefix: str, hosts: Collection[str], most: int) -> bytes:
    """The bytes at an address of the carrier's.

    Args:
        client: knows the account's secret, and follows no redirects by itself.
        url: where the text says that it is.
        api: origin of the carrier's API ("https://api.example"), the one place that is shown the secret.
        prefix: how the path of every medium of our account begins there.
        hosts: origins that the API is documented to redirect to.
        most: octets.

    Raises:
        NotYet, Never: as each says.
    """
    if origin(url) != api or not urlsplit(url).path.startswith(prefix):
        raise Never("foreign_address")
    for _ in range(MOST_REDIRECTS + 1):
        found, onward = _get(client, url, secret=origin(url) == api, most=most)
        if onward is None:
            return found
        url = urljoin(url, onward)
        if origin(url) not in hosts:
            raise Never("foreign_address")
    raise Never("too_many_redirects")


def origin(url: str) -> str:
    """Scheme, host and port of an address, exactly; "" for one that names a user or cannot be read."""
    try:
        parts = urlsplit(url)
        port = f":{parts.port}" if parts.port else ""
    except ValueError:
        return ""
    return "" if parts.username or parts.password else f"{parts.scheme}://{parts.hostname}{port}"


def _get(client: httpx.Client, url: str, *, secret: bool, most: int) -> tuple[bytes, str | None]:
    """What is there, or where it says to go."""
    auth = {} if secret else {"auth": None}
    try:
        with client.stream("GET", url, follow_redirects=False, **auth) as answer:
            if answer.is_redirect:
                return b"", answer.headers.get("location", "")
            if answer.status_code in LATER or answer.is_server_error:
                raise NotYet(str(answer.status_code))
            if not answer.is_success:
                raise Never(str(answer.status_code))
            return _read(answer, most), None
    except (httpx.InvalidURL, httpx.UnsupportedProtocol) as error:
        raise Never("foreign_address") from error
    except httpx.HTTPError as error:
        raise NotYet(type(error).__name__) from error


def _read(answer: httpx.Response, most: int) -> bytes:
    """No more than allowed is ever held, whatever the answer says its length is."""
    found = bytearray()
    for chunk in answer.iter_bytes():
        found += chunk
        if len(found) > most:
            raise Never("too_large")
    return bytes(found)
