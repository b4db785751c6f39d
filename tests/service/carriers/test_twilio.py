from datetime import timedelta

import pytest

from service.carriers import GiveUp, Outgoing, Retry, Sent, Unclear
from service.carriers.twilio import ERRORS, TRIAL, Twilio
from service.settings import TWILIO_API
from tests.service.carriers.farm import NOW, NUMBER, WALTS_PHONE
from tests.service.carriers.loopback import ACCOUNT, DROP, QUICK, TAKE_AND_DROP, TAKE_AND_HANG, TOKEN


def a_text(body="Shift at 9 tomorrow.", valid_s=None):
    return Outgoing(reference="1.7", sender=NUMBER, phone=WALTS_PHONE, body=body, valid_s=valid_s)


def test_a_text_is_posted_with_the_address_for_its_news(twilio, loopback):
    assert twilio.send(a_text()) == Sent(loopback.texts[0]["sid"], "sent")
    (text,) = loopback.texts
    assert (text["from"], text["to"], text["body"]) == (NUMBER, WALTS_PHONE, "Shift at 9 tomorrow.")
    assert text["callback"] == "https://farm.example/carriers/twilio/status?text=1.7"
    assert text["validity"] is None


def test_a_text_is_never_valid_longer_than_the_carrier_allows(twilio, loopback):
    twilio.send(a_text(valid_s=10**6))
    assert loopback.texts[0]["validity"] == "36000"


@pytest.mark.parametrize("met", [DROP, TAKE_AND_DROP, TAKE_AND_HANG, 500, 502, 503])
def test_no_answer_or_a_broken_one_tells_nothing(twilio, loopback, met):
    loopback.then(met)
    with pytest.raises(Unclear):
        twilio.send(a_text())


@pytest.mark.parametrize(("met", "code"), [(429, "20429"), ((400, 21611), "21611"), ((401, 20003), "20003")])
def test_busy_or_misconfigured_is_a_matter_of_time(twilio, loopback, met, code):
    loopback.then(met)
    with pytest.raises(Retry) as refused:
        twilio.send(a_text())
    assert refused.value.code == code
    assert refused.value.wait_s == ERRORS[code]["wait_s"]


def test_wrong_credentials_lose_no_text(loopback):
    carrier = Twilio(account=ACCOUNT, token="wrong", public_url="https://farm.example", api_url=loopback.url)
    with pytest.raises(Retry):
        carrier.send(a_text())
    carrier.close()


@pytest.mark.parametrize(("code", "reason"), [(21610, "unsubscribed"), (21614, "landline"), (12345, None)])
def test_a_refusal_is_final_and_says_what_it_means_of_the_number(twilio, loopback, code, reason):
    loopback.then((400, code))
    with pytest.raises(GiveUp) as refused:
        twilio.send(a_text())
    assert (refused.value.code, refused.value.reason) == (str(code), reason)


def test_a_carrier_out_of_reach_has_taken_nothing():
    carrier = Twilio(
        account=ACCOUNT, token=TOKEN, public_url="https://farm.example", api_url="http://127.0.0.1:9", timeout=QUICK
    )
    with pytest.raises(Retry):
        carrier.send(a_text())
    with pytest.raises(Retry):
        carrier.lookup(a_text(), NOW)
    carrier.close()


@pytest.mark.parametrize("api_url", [TWILIO_API, "https://api.dublin.ie1.twilio.com"])
def test_the_real_carrier_is_never_sent_the_number_of_an_invented_person(api_url):
    """Refused before any connection: this runs without a network."""
    carrier = Twilio(account=ACCOUNT, token=TOKEN, public_url="https://farm.example", api_url=api_url)
    with pytest.raises(GiveUp, match="fictional"):
        carrier.send(a_text())
    carrier.close()


def test_a_lookup_finds_the_same_words_to_the_same_number_newest_first(twilio, loopback):
    first, second = twilio.send(a_text()), twilio.send(a_text())
    twilio.send(a_text("other words"))
    twilio.send(Outgoing("1.8", NUMBER, "+13125550143", "Shift at 9 tomorrow."))
    assert twilio.lookup(a_text(), NOW) == (second, first)


def test_a_lookup_leaves_out_what_was_taken_earlier(twilio, loopback):
    twilio.send(a_text())
    assert twilio.lookup(a_text(), NOW + timedelta(seconds=1)) == ()


def test_a_lookup_reads_on_where_many_texts_went_to_the_number_since(twilio, loopback):
    first = twilio.send(a_text())
    for n in range(3 * loopback.page):
        twilio.send(a_text(f"text {n}"))
    assert twilio.lookup(a_text(), NOW) == (first,)


def test_a_lookup_knows_the_words_a_trial_account_puts_first(twilio, loopback):
    twilio.send(a_text())
    loopback.texts[0]["body"] = TRIAL + loopback.texts[0]["body"]
    assert len(twilio.lookup(a_text(), NOW)) == 1


def test_a_list_that_makes_no_sense_is_no_answer(twilio, loopback):
    twilio.send(a_text())
    del loopback.texts[0]["date_created"]
    with pytest.raises(Retry):
        twilio.lookup(a_text(), NOW)


def test_a_lookup_tells_of_a_text_that_failed_meanwhile(twilio, loopback):
    twilio.send(a_text())
    loopback.texts[0] |= {"status": "undelivered", "error_code": 30006}
    assert twilio.lookup(a_text(), NOW) == (Sent(loopback.texts[0]["sid"], "failed", "30006", "landline"),)


def test_neither_sending_nor_looking_up_logs_a_number(twilio, caplog):
    caplog.set_level("DEBUG")
    twilio.send(a_text())
    twilio.lookup(a_text(), NOW)
    assert "5550142" not in caplog.text
