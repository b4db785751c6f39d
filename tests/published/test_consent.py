"""Consent and its end, against the published lists and rules.

Revocation: 47 CFR 64.1200(a)(10): a consent may be taken back in any reasonable way, and STOP, QUIT, END, REVOKE, OPT OUT,
CANCEL and UNSUBSCRIBE always do. One confirmation, at once: 64.1200(a)(12). Quiet hours: 64.1200(c)(1): nobody is called
before 8 a.m. or after 9 p.m. of the called party's place. The rule's text was not read, only summaries of it; the
carriers' own lists are in fixtures/published/messaging.json, each with its page. Minors: our own rule, stricter than any
we know of for a non-profit (16 CFR 312, children under 13, binds commercial operators; from memory).
"""

import json
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from core.books.tables import Consent, Person, ShiftPlace
from service.quiet import next_allowed
from service.tables import Outbound
from tests.demo_farm import CHICAGO
from tests.practice_line import Line, rows

CASES = json.loads((Path(__file__).parents[2] / "fixtures" / "published" / "messaging.json").read_text("utf-8"))
BODIES = [case for case in CASES if case["topic"] in ("keyword_classification", "keyword_normalisation")]
UNION = next(case for case in CASES if case["id"] == "kw-reserved-union")["expected"]["opt_out"]
FCC = next(case for case in CASES if case["id"] == "kw-fcc")["expected"]


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def walt(line):
    return rows(line, Person, Person.handle == "walt")[0]


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in BODIES])
def test_a_text_ends_consent_just_where_the_lists_say(line, case):
    line.text("walt", case["inputs"]["body"])
    assert walt(line).muted == ("opt_out" in case["expected"]["bot"])


@pytest.mark.parametrize("word", sorted({*UNION, *FCC}))
def test_every_word_that_any_list_names_ends_consent_at_once(line, word):
    line.text("walt", word)
    assert walt(line).muted
    kept = rows(line, Consent, Consent.person_id == walt(line).id, Consent.entry > 1)
    assert [(one.agreed, one.at) for one in kept] == [(False, line.now)]
    assert kept[0].source.startswith("practice:")


@pytest.mark.parametrize(
    "said",
    ["no me mandes mas", "no me mandes más mensajes", "ya no quiero mensajes", "stop please", "please stop texting me",
     "Para", "dejen de escribirme", "unsubscribe me", "no more texts please"],
)  # fmt: skip
@pytest.mark.parametrize("who", ["walt", "mateo"])
def test_any_reasonable_way_counts_in_either_language_whoever_says_it(line, who, said):
    """64.1200(a)(10). Walt's language is English, Mateo's Spanish."""
    line.text(who, said)
    assert rows(line, Person, Person.handle == who)[0].muted


def test_after_a_stop_there_is_one_confirmation_and_then_silence(line):
    """64.1200(a)(12): one, within five minutes, with nothing else in it."""
    reply, _ = line.text("walt", "STOP")
    assert "no more texts" in reply
    line.command("priya", "tell everyone the heater is fixed")
    line.text("dolores", "cant make it saturday")
    theirs = rows(line, Outbound, Outbound.person_id == walt(line).id)
    assert [one.kind for one in theirs if one.state == "waiting"] == ["reply"]


def test_start_takes_it_up_again(line):
    line.text("walt", "STOP")
    line.text("walt", "START")
    assert not walt(line).muted
    kept = rows(line, Consent, Consent.person_id == walt(line).id, Consent.entry > 1)
    assert [one.agreed for one in sorted(kept, key=lambda one: one.entry)] == [False, True]


@pytest.mark.parametrize("word", ["CANCEL", "END", "quit"])
def test_a_word_that_may_not_have_been_meant_so_is_told_the_coordinator_and_gives_up_no_shift(line, word):
    """A crew member may mean the shift; only they can undo what the carrier did."""
    _, news = line.text("walt", word)
    assert [who for who, _ in news] == ["priya"]
    assert "ask" in news[0][1]
    assert {one.answer for one in rows(line, ShiftPlace, ShiftPlace.person_id == walt(line).id)} <= {"", "yes"}


@pytest.mark.parametrize("hour", range(24))
def test_nobody_is_texted_unasked_before_eight_or_after_nine(hour):
    """64.1200(c)(1); ours ends at eight in the evening already."""
    now = datetime(2026, 5, 4, hour, 30, tzinfo=CHICAGO)
    allowed = next_allowed(now, CHICAGO).astimezone(CHICAGO)
    assert 8 <= allowed.hour < 21
    assert allowed - now < timedelta(hours=13)


def test_a_consent_keeps_the_wording_shown_the_time_and_where_it_came_from(line):
    """CTIA Messaging Principles, opt-in: what was shown, when and how (seen in a provider's restatement)."""
    line.text("+13125550150", "join Rosa")
    line.command("priya", "ok")
    line.text("+13125550150", "what's in B1")
    asked, _ = line.text("+13125550150", "adult")
    line.text("+13125550150", "ok")
    rosa = rows(line, Person, Person.phone == "+13125550150")[0]
    (kept,) = rows(line, Consent, Consent.person_id == rosa.id)
    assert kept.wording in asked
    assert all(part in kept.wording for part in ("HELP", "STOP", "rates", "Tern Street Farm"))
    assert (kept.agreed, kept.at) == (True, line.now)
