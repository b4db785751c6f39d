"""Messaging against published values: each case of fixtures/published/messaging.json names its own source.

Encoding and segments: 3GPP TS 23.038 and TS 23.040, and smsutil as the reference library. Signatures: the worked
example of Twilio's helper library documentation, and cases run through Twilio's own validator. Numbers: the
phonenumbers library. Error codes: Twilio's error pages. A case marked `from_memory` was not seen at its source.
"""

import json
from pathlib import Path
from urllib.parse import urlencode

import pytest
import smsutil

from service.carriers import GiveUp, News, Outgoing, Posted, Retry, Sent
from service.carriers.twilio import ERRORS, STATES, Twilio
from service.outbox import RANKS, place, status
from service.phones import e164, is_fictional
from service.segments import BASIC, EXTENSION, ROOM, count, fold
from service.tables import Outbound
from tests.service.carriers.farm import NOW, NUMBER, WALTS_PHONE, open_farm
from tests.service.carriers.loopback import ACCOUNT, TOKEN, Loopback

CASES = json.loads((Path(__file__).parents[2] / "fixtures" / "published" / "messaging.json").read_text("utf-8"))


def cases(topic, *having):
    """The cases of a topic whose inputs have these keys."""
    chosen = [case for case in CASES if case["topic"] == topic and all(key in case["inputs"] for key in having)]
    return pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in chosen])


def the_case(name):
    return next(case for case in CASES if case["id"] == name)


# segments


@cases("sms_segments")
def test_a_text_costs_what_the_standard_says(case):
    cost, expected = count(case["inputs"]["text"]), case["expected"]
    assert (cost.encoding, cost.units, cost.parts) == (expected["encoding"], expected["units"], expected["segments"])


@cases("sms_segments")
def test_the_reference_library_counts_the_same_but_for_the_cases_noted(case):
    theirs = smsutil.split(case["inputs"]["text"])
    ours = count(case["inputs"]["text"])
    same = (ours.encoding == "GSM-7", ours.parts) == (theirs.encoding == "gsm0338", len(theirs.parts))
    assert same == ("smsutil" not in case["expected"].get("disagree", {}))


def test_the_alphabet_is_the_published_one():
    published = the_case("gsm-basic")["expected"]
    assert frozenset(published["basic"]) == BASIC
    assert frozenset(published["extension"]) == EXTENSION


@cases("sms_limits")
def test_a_part_holds_what_the_standard_says(case):
    room = ROOM[case["inputs"]["encoding"]]
    assert (room["alone"], room["part"]) == (case["expected"]["single"], case["expected"]["per_part"])


@pytest.mark.parametrize(("letter", "plain"), the_case("gsm-fold")["expected"].items())
def test_a_letter_that_would_double_the_bill_is_folded(letter, plain):
    assert fold(letter) == plain


# signatures


@cases("twilio_signature", "params")
def test_a_signature_is_taken_or_refused_as_the_carrier_would(case):
    """By the account's token, or by a shared key where a header names its algorithm."""
    inputs = case["inputs"]
    name, _, value = inputs.get("header", "").partition(": ")
    secret = {"signing_key": inputs["auth_token"], "token": ""} if value else {"token": inputs["auth_token"]}
    carrier = Twilio(account=ACCOUNT, public_url="https://farm.example", **secret)
    headers = {name.lower(): value} | (
        {} if inputs["signature"] is None else {"x-twilio-signature": inputs["signature"]}
    )
    genuine = carrier.is_genuine(Posted(inputs["url"], headers, urlencode(inputs["params"]).encode()))
    carrier.close()
    assert genuine == case["expected"]["valid"]


# numbers


@cases("e164", "raw")
def test_a_number_is_read_as_the_library_of_the_numbering_plans_reads_it(case):
    expected = case["expected"]["e164"] if case["expected"]["is_valid_number"] else None
    assert e164(case["inputs"]["raw"], case["inputs"]["region"] or "US") == expected


def test_the_numbers_of_invented_people_pass_for_valid_ones():
    """Which is why they have a guard of their own."""
    assert e164("+13125550142") == "+13125550142"
    assert is_fictional("+13125550142")


# what becomes of a text


@cases("status_order", "callbacks")
def test_news_only_moves_a_text_up(case, tmp_path):
    books = open_farm(f"sqlite:///{tmp_path}/farm.db")
    words = {"carrier": "twilio", "phone": WALTS_PHONE, "person_id": 1, "kind": "reply", "body": "ok"}
    with books.write() as session:
        place(session, farm_id=1, key="k", now=NOW, **words)
        for told in case["inputs"]["callbacks"]:
            status(session, News(Sent("SM1", STATES[told]), "1.1"), NOW)
        assert session.get_one(Outbound, (1, 1)).state == STATES[case["expected"]["final"]]
    books.close()


def test_every_outgoing_state_the_carrier_lists_has_its_rank_here():
    published = the_case("status-rank")
    outgoing = set(published["inputs"]["states"]) - {"receiving", "received"}
    assert set(STATES) == outgoing
    ranks = published["expected"]["rank"]
    for low in ranks:
        for high in ranks:
            if ranks[low] < ranks[high]:
                assert RANKS[STATES[low]] <= RANKS[STATES[high]]


LATER = ("retry with", "retry later", "stop and back off", "slow down", "stop the queue")
NEVER = ("never", "do not", "flag", "loop")
NOT_ABOUT_ONE_TEXT = {14109, 11205, 35115, 30532}
NOT_FOLLOWED = {
    21617: "a text is cut to that length before it is sent",
    30003: "told after the text was taken; a reminder an hour later is worth nothing",
    30008: "told after the text was taken; the person may have it",
}


@cases("twilio_error_policy")
def test_an_error_code_has_the_consequence_its_page_suggests(case):
    code, action = case["inputs"]["code"], case["expected"]["action"]
    if code in NOT_ABOUT_ONE_TEXT:
        assert str(code) not in ERRORS
        return
    with Loopback(NOW) as loopback:
        carrier = Twilio(account=ACCOUNT, token=TOKEN, public_url="https://farm.example", api_url=loopback.url)
        loopback.then(429 if code == 20429 else (400, code))
        with pytest.raises((Retry, GiveUp)) as refused:
            carrier.send(Outgoing("1.1", NUMBER, WALTS_PHONE, "ok"))
        carrier.close()
    assert action.startswith(LATER) == isinstance(refused.value, Retry)
    assert action.startswith(LATER + NEVER) != (code in NOT_FOLLOWED)
    assert (getattr(refused.value, "reason", None) == "unsubscribed") == ("opted out" in action)
