"""A server on 127.0.0.1 that speaks the part of Twilio's REST interface we use, and can be told to misbehave.

Source: https://www.twilio.com/docs/messaging/api/message-resource (create, list), error bodies as on
https://www.twilio.com/docs/usage/twilios-response. Misbehaviour is of our making.
"""

import base64
import json
import threading
from datetime import UTC, datetime
from email.utils import format_datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, parse_qsl, urlencode, urlsplit

import httpx
from twilio.request_validator import RequestValidator

from service.carriers.twilio import Twilio

ACCOUNT = "AC00000000000000000000000000000000"
TOKEN = "not-a-real-token"

TAKE = "take"
TAKE_AND_DROP = "take and drop the line"
TAKE_AND_HANG = "take and never answer"
DROP = "drop the line without taking"


class Loopback:
    """The server: `url` to send to, `texts` it took, `asked` how often it was asked to take one, `listed` to list.

    `then(...)` says how the next posts are met, one each: TAKE…, DROP, an HTTP status, or (HTTP status, error code).
    `now` is the server's clock.
    """

    def __init__(self, now=datetime(2026, 11, 25, 15, 0, tzinfo=UTC)):
        self.texts: list[dict] = []
        self.now = now
        self.asked = 0
        self.listed = 0
        self._script: list = []
        self._released = threading.Event()
        self._lock = threading.Lock()
        handler = type("Handler", (_Handler,), {"loopback": self})
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self._server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self._server.server_port}"
        self._thread = threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._released.set()
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()

    def then(self, *answers):
        self._script.extend(answers)

    def forget_script(self):
        self._script.clear()

    @property
    def bodies(self):
        return [text["body"] for text in self.texts]

    def take(self, form):
        text = {
            "sid": f"SM{len(self.texts) + 1:032x}",
            "to": form["To"],
            "from": form["From"],
            "body": form["Body"],
            "status": "queued",
            "error_code": None,
            "date_created": format_datetime(self.now),
            "date_sent": None,
            "callback": form.get("StatusCallback"),
            "validity": form.get("ValidityPeriod"),
        }
        self.texts.append(text)
        return text

    def next_answer(self):
        with self._lock:
            self.asked += 1
            return self._script.pop(0) if self._script else TAKE

    def wait_until_closed(self):
        self._released.wait()


class _Handler(BaseHTTPRequestHandler):
    loopback: Loopback

    def do_POST(self):
        form = dict(parse_qsl(self.rfile.read(int(self.headers["Content-Length"])).decode(), keep_blank_values=True))
        if not self._known():
            return
        answer = self.loopback.next_answer()
        if isinstance(answer, tuple):
            self._answer(answer[0], {"code": answer[1], "message": "refused", "status": answer[0]})
        elif isinstance(answer, int):
            self._answer(answer, {"code": 20429 if answer == 429 else 20500, "message": "later", "status": answer})
        elif answer == TAKE:
            self._answer(201, self.loopback.take(form))
        else:
            self._fall_silent(answer, form)

    def do_GET(self):
        if not self._known():
            return
        self.loopback.listed += 1
        query = {name: values[0] for name, values in parse_qs(urlsplit(self.path).query).items()}
        matching = [
            text
            for text in reversed(self.loopback.texts)
            if text["to"] == query.get("To", text["to"]) and text["from"] == query.get("From", text["from"])
        ]
        self._answer(200, {"messages": matching[: int(query.get("PageSize", 50))], "next_page_uri": None})

    def _known(self):
        """Whether the call names the account and knows its token; otherwise it is answered here."""
        secret = base64.b64encode(f"{ACCOUNT}:{TOKEN}".encode()).decode()
        if self.headers.get("Authorization") != f"Basic {secret}":
            self._answer(401, {"code": 20003, "message": "Authenticate", "status": 401})
            return False
        if urlsplit(self.path).path != f"/2010-04-01/Accounts/{ACCOUNT}/Messages.json":
            self._answer(404, {"code": 20404, "message": "not found", "status": 404})
            return False
        return True

    def _fall_silent(self, how, form):
        if how in (TAKE_AND_DROP, TAKE_AND_HANG):
            self.loopback.take(form)
        if how == TAKE_AND_HANG:
            self.loopback.wait_until_closed()
        self.close_connection = True

    def _answer(self, status, content):
        body = json.dumps(content).encode()
        self.send_response(status)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        """Silent: a test says what it wants to know."""


def signed(address, form, token=TOKEN):
    """The headers and body with which the carrier posts a form to an address: (headers, body)."""
    signature = RequestValidator(token).compute_signature(address, form)
    headers = {"Content-Type": "application/x-www-form-urlencoded", "X-Twilio-Signature": signature}
    return headers, urlencode(form)


QUICK = httpx.Timeout(2.0, read=0.2)


def a_twilio(loopback):
    """The carrier, sending to the loopback and losing patience soon."""
    return Twilio(account=ACCOUNT, token=TOKEN, public_url="https://farm.example", api_url=loopback.url, timeout=QUICK)
