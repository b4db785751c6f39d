"""Twilio Programmable Messaging: its webhooks read and checked, texts sent by its REST interface.

Sources: https://www.twilio.com/docs/usage/webhooks/webhooks-security (signature),
https://www.twilio.com/docs/messaging/guides/webhook-request (fields), https://www.twilio.com/docs/messaging/api/message-resource.
"""

from __future__ import annotations

import logging
import tomllib
from collections.abc import Mapping
from datetime import datetime
from email.utils import parsedate_to_datetime
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import httpx
from twilio.request_validator import RequestValidator  # type: ignore[import-untyped]

from service.carriers import GiveUp, News, Outgoing, Posted, Retry, SendError, Sent, State, TextIn, Unclear
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
LONGEST_VALID_S = 36_000
LISTED = 100  # texts looked through; to one number that is days
TRIAL = "Sent from your Twilio trial account - "  # put before every text of a trial account (from memory)

for _library in ("httpx", "httpcore"):  # they log each address, and that of a lookup has numbers in it
    logging.getLogger(_library).setLevel(logging.WARNING)


class Twilio:
    """One account. `public_url` is the address of this service as it is set at Twilio."""

    name = "twilio"
    receipt = ("application/xml", "<Response/>")

    def __init__(
        self,
        *,
        account: str,
        token: str,
        public_url: str,
        api_url: str = TWILIO_API,
        timeout: httpx.Timeout = TIMEOUT,
    ) -> None:
        self._token = token
        self._validator = RequestValidator(token)
        self._news_url = f"{public_url.rstrip('/')}/carriers/{self.name}/status"
        self._real = (urlsplit(api_url).hostname or "").endswith(DOMAIN)
        self._messages = f"/2010-04-01/Accounts/{account}/Messages.json"
        self._client = httpx.Client(base_url=api_url, auth=(account, token), timeout=timeout)

    @classmethod
    def of(cls, settings: Settings) -> Twilio:
        """The account the settings name."""
        return cls(
            account=settings.twilio_account,
            token=settings.twilio_token.get_secret_value(),
            public_url=settings.public_url,
            api_url=settings.twilio_api_url,
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
        form = {
            "From": text.sender,
            "To": text.phone,
            "Body": text.body,
            "StatusCallback": f"{self._news_url}?text={text.reference}",
        }
        if text.valid_s is not None:
            form["ValidityPeriod"] = str(min(text.valid_s, LONGEST_VALID_S))
        try:
            answer = self._client.post(self._messages, data=form)
        except (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout) as error:
            raise Retry(type(error).__name__) from error
        except httpx.RequestError as error:
            raise Unclear(type(error).__name__) from error
        return _taken(answer)

    def lookup(self, text: Outgoing, since: datetime) -> tuple[Sent, ...]:
        """The newest texts to that number, those with these words.

        Not narrowed by DateSent: a text still queued may have none yet.

        Raises:
            Retry: Twilio could not be asked.
        """
        wanted: dict[str, str | int] = {"From": text.sender, "To": text.phone, "PageSize": LISTED}
        try:
            answer = self._client.get(self._messages, params=wanted)
            listed = answer.raise_for_status().json()["messages"]
            return tuple(_sent(one) for one in listed if _is_the_text(one, text, since))
        except (httpx.HTTPError, ValueError, KeyError, TypeError) as error:
            raise Retry(type(error).__name__) from error

    def is_genuine(self, posted: Posted) -> bool:
        """Whether the signature is Twilio's over this address and form; without a signature or a token of ours: no."""
        signature = posted.headers.get("x-twilio-signature", "")
        if not (signature and self._token):
            return False
        return bool(self._validator.validate(posted.address, _form(posted), signature))

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
        return News(Sent(form["MessageSid"], state, form.get("ErrorCode") or None), reference)


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
    return GiveUp(code, opted_out=known["does"] == "opted_out")


def _wait_s(answer: httpx.Response) -> float:
    asked = answer.headers.get("Retry-After", "")
    return float(asked) if asked.isdecimal() else float(ERRORS["20429"]["wait_s"])


def _sent(message: Mapping[str, Any]) -> Sent:
    code = message.get("error_code")
    return Sent(str(message["sid"]), STATES.get(str(message.get("status")), "sent"), str(code) if code else None)


def _is_the_text(message: Mapping[str, Any], text: Outgoing, since: datetime) -> bool:
    words = str(message.get("body", "")).removeprefix(TRIAL)
    return words == text.body and parsedate_to_datetime(str(message["date_created"])) >= since
