"""A server on 127.0.0.1 that speaks the part of Twilio's REST interface we use, and can be told to misbehave.

Source: https://www.twilio.com/docs/messaging/api/message-resource (create, list), error bodies as on
https://www.twilio.com/docs/usage/twilios-response. Misbehaviour is of our making.
"""

import base64
import json
import threading
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime, parsedate_to_datetime
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
    `down` meets all of them like that. `now` is the server's clock, fixed or a function; a text is listed `lag` later
    than it was taken. `came_in` are texts to us that it lists, `page` how many at once; `lists` is listed in their place.
    """

    def __init__(self, now=datetime(2026, 11, 25, 15, 0, tzinfo=UTC), lag=timedelta(0)):
        self.texts: list[dict] = []
        self.came_in: list[dict] = []
        self.lag = lag
        self.page = 50
        self.down = None
        self.lists = None
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

    @property
    def moment(self):
        return self.now() if callable(self.now) else self.now

    def take(self, form):
        text = {
            "sid": f"SM{len(self.texts) + 1:032x}",
            "to": form["To"],
            "from": form["From"],
            "body": form["Body"],
            "status": "queued",
            "error_code": None,
            "date_created": format_datetime(self.moment),
            "date_sent": None,
            "direction": "outbound-api",
            "listed_from": self.moment + self.lag,
            "callback": form.get("StatusCallback"),
            "validity": form.get("ValidityPeriod"),
            "media": form.get("MediaUrl"),
        }
        self.texts.append(text)
        return text

    def next_answer(self):
        with self._lock:
            self.asked += 1
            if self.down is not None:
                return self.down
            return self._script.pop(0) if self._script else TAKE

    def text_us(self, number, sent_at, body, **others):
        """A text to us, kept in the list whether or not it was handed over."""
        named = {
            "sid": f"SM{number:032x}",
            "direction": "inbound",
            "status": "received",
            "body": body,
            "num_media": "0",
        }
        when = {"date_sent": format_datetime(sent_at), "date_created": format_datetime(sent_at), "listed_from": sent_at}
        self.came_in.append(named | when | others)

    def listed_to(self, query):
        """What a list asked for holds, the newest first."""
        since = query.get("DateSent>", "")
        return [
            told(text)
            for text in reversed(self.texts + self.came_in)
            if text["to"] == query.get("To", text["to"])
            and text["from"] == query.get("From", text["from"])
            and text["listed_from"] <= self.moment
            and (text["date_sent"] is None or parsedate_to_datetime(text["date_sent"]).date().isoformat() >= since)
        ]

    def wait_until_closed(self):
        self._released.wait()


def told(text):
    """A text as the carrier tells of it."""
    return {name: value for name, value in text.items() if name != "listed_from"}


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
            self._answer(201, told(self.loopback.take(form)))
        else:
            self._fall_silent(answer, form)

    def do_GET(self):
        if not self._known():
            return
        self.loopback.listed += 1
        address = urlsplit(self.path)
        if address.path.endswith("Media.json"):
            kept = [{"sid": "ME1", "content_type": "image/jpeg"}]
            self._answer(200, {"media_list": kept, "next_page_uri": None})
            return
        if self.loopback.lists is not None:
            self._answer(200, self.loopback.lists)
            return
        query = {name: values[0] for name, values in parse_qs(address.query).items()}
        size, first = min(int(query.get("PageSize", 50)), self.loopback.page), int(query.get("After", 0))
        found = self.loopback.listed_to(query)
        further = urlencode({**query, "After": first + size}) if len(found) > first + size else None
        next_page = f"{address.path}?{further}" if further else None
        self._answer(200, {"messages": found[first : first + size], "next_page_uri": next_page})

    def _known(self):
        """Whether the call names the account and knows its token; otherwise it is answered here."""
        secret = base64.b64encode(f"{ACCOUNT}:{TOKEN}".encode()).decode()
        if self.headers.get("Authorization") != f"Basic {secret}":
            self._answer(401, {"code": 20003, "message": "Authenticate", "status": 401})
            return False
        if not urlsplit(self.path).path.startswith(f"/2010-04-01/Accounts/{ACCOUNT}/Messages"):
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
        with suppress(BrokenPipeError, ConnectionResetError):  # whoever asked is dead
            self.wfile.write(body)

    def log_message(self, *_):
        """Silent: a test says what it wants to know."""


def text_form(sid, sender, farm, body):
    """The form with which the carrier hands over a text without pictures."""
    return {"MessageSid": sid, "AccountSid": ACCOUNT, "From": sender, "To": farm, "Body": body, "NumMedia": "0"}


def signed(address, form, token=TOKEN):
    """The headers and body with which the carrier posts a form to an address: (headers, body)."""
    signature = RequestValidator(token).compute_signature(address, form)
    headers = {"Content-Type": "application/x-www-form-urlencoded", "X-Twilio-Signature": signature}
    return headers, urlencode(form)


QUICK = httpx.Timeout(2.0, read=0.2)


def a_twilio(loopback, **settings):
    """The carrier, sending to the loopback and losing patience soon."""
    known = {"account": ACCOUNT, "token": TOKEN, "public_url": "https://farm.example", "api_url": loopback.url}
    return Twilio(timeout=QUICK, **known | settings)
