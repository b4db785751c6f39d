"""A real broker of messages on the loopback, in a thread of its own."""

import asyncio
import socket
import threading

from amqtt.broker import Broker


class LoopbackBroker:
    """amqtt, open to anybody on 127.0.0.1, for the length of a `with` block."""

    def __enter__(self):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.loop = asyncio.new_event_loop()
        self.thread = threading.Thread(target=self.loop.run_forever, daemon=True)
        self.thread.start()
        self._do(self._open())
        return self

    async def _open(self):
        anybody = {"amqtt.plugins.authentication.AnonymousAuthPlugin": {"allow_anonymous": True}}
        listeners = {"default": {"type": "tcp", "bind": f"127.0.0.1:{self.port}"}}
        self.broker = Broker({"listeners": listeners, "plugins": anybody})
        await self.broker.start()

    def __exit__(self, *_):
        self._do(self.broker.shutdown())
        self.loop.call_soon_threadsafe(self.loop.stop)
        self.thread.join(timeout=10)
        self.loop.close()

    def _do(self, work):
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(timeout=20)
