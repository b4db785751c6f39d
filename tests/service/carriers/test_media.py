"""What came with a text is fetched from the carrier's own addresses only, and its secret is shown nowhere else."""

import base64
import threading
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from service.carriers.media import Never, NotYet, origin
from service.carriers.twilio import Twilio

ACCOUNT = "AC00000000000000000000000000000000"
PATH = f"/2010-04-01/Accounts/{ACCOUNT}/Messages/MM1/Media/ME1"
PICTURE = b"\xff\xd8 a picture"
SECRET = "Basic " + base64.b64encode(f"{ACCOUNT}:token".encode()).decode()


class _Handler(BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.asked.append((self.path, self.headers.get("Authorization")))
        status, headers, body = self.server.answer
        self.send_response(status)
        for name, value in headers.items():
            self.send_header(name, value)
        if "Content-Length" not in headers:
            self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        """Silent."""


@contextmanager
def host(status=200, body=PICTURE, **headers):
    """A host on loopback that meets every call in one way: `asked` are (path, Authorization) of the calls."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Handler)
    server.daemon_threads = True
    server.answer, server.asked = (status, headers, body), []
    server.url = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    yield server
    server.shutdown()
    thread.join()
    server.server_close()


def fetch(api, url=None, hosts=()):
    carrier = Twilio(
        account=ACCOUNT, token="token", public_url="https://farm.example", api_url=api.url, media_hosts=hosts
    )
    try:
        return carrier.medium(url or api.url + PATH)
    finally:
        carrier.close()


def test_a_medium_is_fetched_with_the_secret_of_the_account():
    with host() as api:
        assert fetch(api) == PICTURE
        assert api.asked == [(PATH, SECRET)]


def test_a_redirect_to_the_carriers_own_media_host_is_followed_without_the_secret():
    with host() as media, host(302, b"", Location=media.url + "/me1?sig=1") as api:
        assert fetch(api, hosts=(media.url,)) == PICTURE
        assert media.asked == [("/me1?sig=1", None)]


def test_a_redirect_to_any_other_host_is_not_followed():
    with host() as stranger, host(302, b"", Location=stranger.url) as api:
        with pytest.raises(Never, match="foreign_address"):
            fetch(api)
        assert stranger.asked == []


def test_redirects_in_a_ring_come_to_an_end():
    with host(302, b"") as media:
        media.answer = (302, {"Location": media.url}, b"")
        with host(302, b"", Location=media.url) as api, pytest.raises(Never, match="too_many_redirects"):
            fetch(api, hosts=(media.url,))


@pytest.mark.parametrize(
    "forged",
    [
        "{stranger}" + PATH,
        "{api}@{stranger_host}" + PATH,
        "{api}.evil.example" + PATH,
        "{api}/2010-04-01/Accounts/AC99/Messages/MM1/Media/ME1",
        "{api}/elsewhere",
        "file:///etc/hostname",
        "//{stranger_host}" + PATH,
        "http://169.254.169.254/latest/meta-data/",
        "http://[::1",
        "",
    ],
)
def test_an_address_that_is_not_the_carriers_own_is_never_called(forged):
    """Whoever forges a text could name any address; nothing goes there, least of all the secret."""
    with host() as api, host() as stranger:
        url = forged.format(api=api.url, stranger=stranger.url, stranger_host=stranger.url.removeprefix("http://"))
        with pytest.raises(Never, match="foreign_address"):
            fetch(api, url or " ")
        assert (api.asked, stranger.asked) == ([], [])


def test_what_is_too_large_is_dropped_while_it_comes_in_whatever_it_says_of_its_length(monkeypatch):
    monkeypatch.setattr("service.carriers.twilio.MOST_OCTETS", 1000)
    with host(body=b"x" * 5000) as api, pytest.raises(Never, match="too_large"):
        fetch(api)


@pytest.mark.parametrize("status", [404, 429, 500, 503])
def test_what_is_not_there_yet_may_be_had_later(status):
    with host(status) as api, pytest.raises(NotYet):
        fetch(api)


@pytest.mark.parametrize("status", [401, 403, 410])
def test_what_the_carrier_refuses_is_given_up(status):
    with host(status) as api, pytest.raises(Never):
        fetch(api)


def test_a_host_out_of_reach_may_be_had_later():
    with host() as api:
        pass
    with pytest.raises(NotYet):
        fetch(api)


@pytest.mark.parametrize(
    ("url", "known"),
    [
        ("https://api.twilio.com/2010", "https://api.twilio.com"),
        ("https://user@api.twilio.com/2010", ""),
        ("https://api.twilio.com:444/2010", "https://api.twilio.com:444"),
        ("http://api.twilio.com/2010", "http://api.twilio.com"),
    ],
)
def test_an_origin_is_scheme_host_and_port(url, known):
    assert origin(url) == known
