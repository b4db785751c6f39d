"""The web server. It tells the app that it is to stop before it waits for open pages: they would listen for ever."""

from __future__ import annotations

import contextlib
import socket
from typing import Any

import uvicorn
from fastapi import FastAPI


class Server(uvicorn.Server):
    """A uvicorn server for an app with `state.stopping`, an event."""

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Set the event, then stop as usual."""
        self.config.app.state.stopping.set()  # type: ignore[union-attr]
        await super().shutdown(sockets)


def run(app: FastAPI, **options: Any) -> None:
    """Serve the app until a signal ends it. `options`: those of uvicorn's Config."""
    with contextlib.suppress(KeyboardInterrupt):
        Server(uvicorn.Config(app, **options)).run()
