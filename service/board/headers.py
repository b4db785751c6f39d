"""The headers of every answer under /board: nothing from elsewhere, no script or style inside a page, no keeping."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}
"""Referrer: the door's forms are told from foreign ones by their token, not by it; nothing leaves for other places."""

STATIC = "no-cache"
"""Style, script and picture are kept, but asked about each time: a new version is seen at once."""

HTTPS_ONLY = "max-age=31536000"


class BoardHeaders:
    """Puts the headers on every answer below a path, errors included. `https`: the farm's address is a safe one."""

    def __init__(self, app: ASGIApp, path: str, *, https: bool) -> None:
        self.app = app
        self.path = path
        self.https = https

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One call."""
        path = scope.get("path", "")
        if scope["type"] != "http" or not (path == self.path or path.startswith(f"{self.path}/")):
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                self._put(MutableHeaders(scope=message), path)
            await send(message)

        await self.app(scope, receive, with_headers)

    def _put(self, headers: MutableHeaders, path: str) -> None:
        headers.update(HEADERS)
        if path.startswith(f"{self.path}/static/"):
            headers["Cache-Control"] = STATIC
        if self.https:
            headers["Strict-Transport-Security"] = HTTPS_ONLY
