"""Twilio Programmable Messaging: its webhooks read and checked, texts sent by its REST interface.

Sources: https://www.twilio.com/docs/usage/webhooks/webhooks-security (signature),
https://www.twilio.com/docs/usage/webhooks/webhook-shared-keys (signature by a key of one's own),
https://www.twilio.com/docs/messaging/guides/webhook-request (fields), https://www.twilio.com/docs/messaging/api/message-resource.
"""

from __future__ import annotations

import logging
import tomllib
from collections.abc import Collection, Iterator, Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from itertools import takewhile
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlencode, urlsplit

import httpx
from twilio.request_validator import RequestValidator, get_signature_algorithm  # type: ignore[import-untyped]

from service.carriers import (
    GiveUp,
    News,
    Outgoing,
    Posted,
    Reason,
    Retry,
    SendError,
    Sent,
    State,
    TextIn,
    Unclear,
    media,
)
from service.phones import is_fictional
from service.settings import TWILIO_API, Settings

STATES: dict[str, State] = {
    **dict.fromkeys(("accepted", "scheduled", "queued", "sending", "sent"), "sent"),
    **dict.fromkeys(("delivered", "partially_delivered", "read"), "delivered"),
    **dict.fromkeys(("undelivered", "failed", "canceled"), "failed"),
}
"""Twilio's states of a text sent (the SDK's list) -> ours."""

ERRORS: dict[str, dict[str, Any]] = tomllib.loads(Path(__file__).with_name("twilio_errors.toml").read_text("utf-8"))
TIMEOUT = httpx.Timeout(15.0, connect=5.0)
DOMAIN = "twilio.com"  # the regions' addresses end in it too
MOST_MEDIA = 10
MOST_OCTETS = 6_000_000  # of one medium; Twilio brings 5 MB in all: docs/messaging/api/media-resource
MEDIA_HOSTS = ("https://mms.twiliocdn.com", "https://media.twiliocdn.com")
"""Where the API sends who fetches a medium: https://github.com/Abilityai/trinity/pull/1937; the second from memory."""

LONGEST_VALID_S = 36_000
VERSION = "/2010-04-01"
PAGE = 1000  # the most that Twilio lists at once
TRIAL = "Sent from your Twilio trial account - "  # put before every text of a trial account (from memory)

for _library in ("httpx", "httpcore"):  # they log each address, and that of a lookup has numbers in it
    logging.getLogger(_library).setLevel(logging.WARNING)


SETTINGS_HEADER = "x-twilio-webhooks-signature-settings"  # there where a shared key signs in place of the token


class Twilio:
    """One account.

    `public_url` is the address of this service as it is set at Twilio. `old_token` is believed too while a token is
    exchanged; `signing_key` is the secret of a shared key, where webhooks are signed by one. `segments_a_second` is
    what the farm's kind of number may send.
    """

    name = "twilio"
    receipt = ("application/xml", "<Response/>")

    def __init__(
        self,
        *,
        account: str,
        token: str,
        public_url: str,
        old_token: str = "",
        signing_key: str = "",
        api_url: str = TWILIO_API,
        segments_a_second: float | None = None,
        timeout: httpx.Timeout = TIMEOUT,
        media_hosts: Collection[str] = MEDIA_HOSTS,
    ) -> None:
        self.segments_a_second = segments_a_second
        self._tokens = tuple(RequestValidator(secret) for secret in (token, old_token) if secret)
        self._keys = tuple(RequestValidator(secret) for secret in (signing_key,) if secret)
        self._news_url = f"{public_url.rstrip('/')}/carriers/{self.name}/status"
        self._real = (urlsplit(api_url).hostname or "").endswith(DOMAIN)
        self._messages = f"{VERSION}/Accounts/{account}/Messages.json"
        self._api, self._media_hosts = media.origin(api_url), frozenset(media_hosts)
        self._reachable = public_url.startswith("https://")
        self._client = httpx.Client(base_url=api_url, auth=(account, token), timeout=timeout)

    @classmethod
    def of(cls, settings: Settings) -> Twilio:
        """The account the settings name."""
        return cls(
            account=settings.twilio_account,
            token=settings.twilio_token.get_secret_value(),
            public_url=settings.public_url,
            old_token=settings.twilio_token_old.get_secret_value(),
            signing_key=settings.twilio_signing_key.get_secret_value(),
            api_url=settings.twilio_api_url,
            segments_a_second=settings.twilio_segments_a_second,
        )

    def close(self) -> None:
        """Let go of the connections."""
        self._client.close()

    def send(self, text: Outgoing) -> Sent:
        """One POST. A text to a number kept for invented people never reaches the real Twilio.

        Raises:
            Retry: busy, or out of reach before the text was handed over.
            Unclear: no answer, or one that tells nothing, after it was.
            GiveUp: refused.
        """
        if self._real and is_fictional(text.phone):
            raise GiveUp("fictional number")
        form: dict[str, str | list[str]] = {
            "From": text.sender,
            "To": text.phone,
            "Body": text.body,
            "StatusCallback": f"{self._news_url}?text={text.reference}",
        }
        if text.media:
            form["MediaUrl"] = list(text.media)
        if text.valid_s is not None:
            form["ValidityPeriod"] = str(min(text.valid_s, LONGEST_VALID_S))
        try:
            answer = self._client.post(self._messages, data=form)
        except (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout) as error:
            raise Retry(type(error).__name__) from error
        except httpx.RequestError as error:
            raise Unclear(type(error).__name__) from error
        return _taken(answer)

    def brings_pictures(self, phone: str) -> bool:
        """Twilio fetches a picture from our public address and brings it to numbers of the US and Canada only."""
        return self._reachable and phone.startswith("+1")

    def medium(self, url: str) -> bytes:
        """What came with a text of our account.

        Raises:
            NotYet, Never: as each says.
        """
        prefix = self._messages.replace("Messages.json", "Messages/")
        return media.fetch(
            self._client, url, api=self._api, prefix=prefix, hosts=self._media_hosts, most=MOST_OCTETS
        )  # fmt: skip

    def lookup(self, text: Outgoing, since: datetime) -> tuple[Sent, ...]:
        """The texts to that number with these words; Twilio lists the newest first.

        Not narrowed by DateSent: a text still queued may have none yet.

        Raises:
            Retry: Twilio could not be asked.
        """
        wanted = {"From": text.sender, "To": text.phone, "PageSize": str(PAGE)}
        try:
            listed = self._pages(f"{self._messages}?{urlencode(wanted)}", "messages")
            young = takewhile(lambda one: _created_at(one) >= since, listed)
            return tuple(_sent(one) for one in young if _is_the_text(one, text))
        except (httpx.HTTPError, ValueError, KeyError, TypeError) as error:
            raise Retry(type(error).__name__) from error

    def received(self, number: str, since: datetime) -> Iterator[TextIn]:
        """The texts Twilio lists to a number of ours since then; it lists by days of UTC, and the newest first.

        Raises:
            Retry: Twilio could not be asked.
        """
        wanted = {"To": number, "DateSent>": since.astimezone(UTC).date().isoformat(), "PageSize": str(PAGE)}
        try:
            for message in self._pages(f"{self._messages}?{urlencode(wanted)}", "messages"):
                if message["direction"] == "inbound" and _sent_at(message) >= since:
                    yield self._listed(message)
        except (httpx.HTTPError, ValueError, KeyError, TypeError) as error:
            raise Retry(type(error).__name__) from error

    def _pages(self, address: str | None, what: str) -> Iterator[dict[str, Any]]:
        """What a list holds, page after page. Only paths are followed, so the token goes nowhere but to Twilio."""
        while address and address.startswith(VERSION):
            page = self._client.get(address).raise_for_status().json()
            yield from page[what]
            address = page.get("next_page_uri")

    def _listed(self, message: Mapping[str, Any]) -> TextIn:
        found: tuple[dict[str, str], ...] = ()
        if int(message.get("num_media") or 0):
            path = self._messages.replace("Messages.json", f"Messages/{message['sid']}/Media")
            kept = self._pages(f"{path}.json", "media_list")
            found = tuple(
                {"url": f"{self._client.base_url}{path[1:]}/{one['sid']}", "type": one["content_type"]} for one in kept
            )
        return TextIn(
            carrier=self.name,
            id=message["sid"],
            to=message["to"],
            phone=message["from"],
            body=message["body"] or "",
            media=found,
            sent_at=_sent_at(message),
        )

    def is_genuine(self, posted: Posted) -> bool:
        """Whether the signature is Twilio's over this address and form; without a signature or a secret of ours: no."""
        signature = posted.headers.get("x-twilio-signature", "")
        by_key = posted.headers.get(SETTINGS_HEADER, "")
        algorithm = get_signature_algorithm(by_key)
        return bool(signature) and any(
            secret.validate(posted.address, _form(posted), signature, algorithm)
            for secret in (self._keys if by_key else self._tokens)
        )

    def text_in(self, posted: Posted) -> TextIn | None:
        """The text posted; its body may be empty beside a picture."""
        form = _form(posted)
        if not (form.get("MessageSid") and form.get("From") and form.get("To")):
            return None
        return TextIn(
            carrier=self.name,
            id=form["MessageSid"],
            to=form["To"],
            phone=form["From"],
            body=form.get("Body", ""),
            media=_media(form),
        )

    def news(self, posted: Posted) -> News | None:
        """The status posted; the reference comes back in the address that was given when sending."""
        form = _form(posted)
        state = STATES.get(form.get("MessageStatus", ""))
        if state is None or not form.get("MessageSid"):
            return None
        reference = dict(parse_qsl(urlsplit(posted.address).query)).get("text")
        code = form.get("ErrorCode") or None
        return News(Sent(form["MessageSid"], state, code, _reason(code)), reference, form.get("From"))


def _form(posted: Posted) -> dict[str, str]:
    """The fields as sent: blank ones kept, nothing trimmed, since all of it is signed."""
    return dict(parse_qsl(posted.body.decode("utf-8", "replace"), keep_blank_values=True, errors="replace"))


def _media(form: Mapping[str, str]) -> tuple[dict[str, str], ...]:
    numbered = ((form.get(f"MediaUrl{n}"), form.get(f"MediaContentType{n}", "")) for n in range(MOST_MEDIA))
    return tuple({"url": url, "type": kind} for url, kind in numbered if url)


def _taken(answer: httpx.Response) -> Sent:
    """What Twilio's answer to a POST says."""
    try:
        told = answer.json()
    except ValueError:
        told = None
    said: dict[str, Any] = told if isinstance(told, dict) else {}
    if answer.is_success and said.get("sid"):
        return _sent(said)
    raise _refusal(answer, str(said.get("code") or answer.status_code))


def _refusal(answer: httpx.Response, code: str) -> SendError:
    """The answer as one of ours. After a server's error the text may have been taken all the same."""
    known = ERRORS.get(code, {"does": "give_up"})
    if answer.status_code == httpx.codes.TOO_MANY_REQUESTS:
        return Retry(code, _wait_s(answer))
    if answer.is_success or answer.is_server_error:
        return Unclear(code)
    if known["does"] == "retry":
        return Retry(code, known["wait_s"])
    return GiveUp(code, _reason(code), words_only=known["does"] == "words_only")


def _reason(code: str | None) -> Reason | None:
    """What a code says of the number texted."""
    reason: Reason | None = ERRORS.get(code or "", {}).get("reason")
    return reason


def _wait_s(answer: httpx.Response) -> float:
    asked = answer.headers.get("Retry-After", "")
    return float(asked) if asked.isdecimal() else float(ERRORS["20429"]["wait_s"])


def _sent(message: Mapping[str, Any]) -> Sent:
    code = str(message["error_code"]) if message.get("error_code") else None
    return Sent(str(message["sid"]), STATES.get(str(message.get("status")), "sent"), code, _reason(code))


def _sent_at(message: Mapping[str, Any]) -> datetime:
    """When a text was sent, as far as Twilio knows: for one that came in, when it reached Twilio."""
    return parsedate_to_datetime(str(message.get("date_sent") or message["date_created"]))


def _created_at(message: Mapping[str, Any]) -> datetime:
    return parsedate_to_datetime(str(message["date_created"]))


def _is_the_text(message: Mapping[str, Any], text: Outgoing) -> bool:
    return str(message.get("body", "")).removeprefix(TRIAL) == text.body
