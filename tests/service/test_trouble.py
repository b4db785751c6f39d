"""Trouble by text, from report to close: who hears, who is told next, photos, and taking it all back."""

from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image
from sqlmodel import select

from core.acts.picture import picture
from core.books import troubles
from core.books.ledger import Ledger
from core.books.tables import Farm, TroubleReport
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from service import inbox, rounds
from service.carriers import TextIn
from service.carriers.media import Never, NotYet
from service.photos import keeping
from service.photos.fetching import WAITS, fetch_due
from service.tables import Inbound, Outbound, Photo, PhotoFile
from tests.demo_farm import CHICAGO, FARM, NOW
from tests.practice_line import Line, rows
from tests.service.ticks import change, run, to

WALT = "+13125550101"


@pytest.fixture
def line(demo_books):
    line = Line(demo_books)
    yield line
    with line.books.read() as session:
        assert Ledger(session, FARM).differences() == []


def told_again(line, who):
    return [one.body for one in to(line.books, who, kind="trouble") if one.key.startswith("trouble:")]


def open_kinds(line):
    return [one.kind for one in rows(line, TroubleReport, TroubleReport.open)]


def test_who_is_in_charge_now_is_told_and_the_next_when_nobody_answers(line):
    """Bea's leak: Walt, on shift, at once; Tomas 15 minutes later; Priya after 30. Nobody twice."""
    _, news = line.text("bea", "there's a leak at C10")
    assert [who for who, _ in news] == ["walt"]
    run(line.books, NOW, NOW + timedelta(minutes=14), every=timedelta(minutes=1))
    assert [told_again(line, who) for who in ("walt", "tomas", "priya")] == [[], [], []]
    run(line.books, NOW + timedelta(minutes=15), NOW + timedelta(hours=3), every=timedelta(minutes=5))
    assert [len(told_again(line, who)) for who in ("walt", "tomas", "priya")] == [0, 1, 1]
    assert 'Bea: "there\'s a leak at C10" Text ON IT' in told_again(line, "priya")[0]


def test_nobody_further_is_told_once_somebody_has_it(line):
    line.text("bea", "there's a leak at C10")
    line.now = NOW + timedelta(minutes=5)
    _, news = line.text("walt", "on it")
    assert [who for who, _ in news] == ["bea"]
    run(line.books, line.now, NOW + timedelta(hours=3), every=timedelta(minutes=5))
    assert (told_again(line, "tomas"), told_again(line, "priya")) == ([], [])


def test_at_night_only_who_chose_it_is_woken_and_only_for_what_cannot_wait(line):
    change(line.books, "tomas", wakeful=False)
    line.now = NOW.replace(hour=4)  # 23:00 on the farm
    line.text("bea", "there's a leak at C10")
    line.text("bea", "algae at A1")
    run(line.books, line.now, line.now + timedelta(hours=7), every=timedelta(minutes=5))
    at_night = [one.person_id for one in rows(line, Outbound, Outbound.kind == "trouble")]
    assert len(at_night) == 2  # Walt at once, Priya after 30 minutes; Tomas, after 15, sleeps
    assert told_again(line, "tomas") == []


def test_the_same_leak_told_by_two_is_one_with_both_named(line):
    line.text("bea", "there's a leak at C10")
    reply, news = line.text("keisha", "water dripping at C10")
    assert news == []
    assert "as Bea said" in reply
    assert line.text("priya", "any trouble open?")[0].startswith(
        "Open: 3 leak at C10, today 9:10am, told by Bea, Keisha;"
    )


def test_everybody_who_told_of_it_hears_that_it_is_over(line):
    line.text("bea", "there's a leak at C10")
    line.text("keisha", "leak at C10")
    line.text("walt", "on it")
    reply, news = line.text("walt", "fixed")
    assert reply.startswith("Noted: trouble 3, leak at C10, is over. Thank you.")
    assert {who for who, _ in news} == {"bea", "keisha"}
    assert open_kinds(line) == ["algae"]


def test_every_step_can_be_taken_back(line):
    line.text("bea", "there's a leak at C10")
    line.text("walt", "on it")
    line.text("walt", "fixed")
    line.text("walt", "undo")
    assert open_kinds(line) == ["algae", "leak"]
    reply, news = line.text("walt", "undo")
    assert "Reply OK or NO" in reply
    _, news = line.text("walt", "ok")
    assert [who for who, _ in news] == ["bea"]
    assert [one.taken_by for one in rows(line, TroubleReport, TroubleReport.n == 3)] == [None]
    _, news = line.text("bea", "undo")
    assert [(who, said) for who, said in news] == [("walt", "Bea takes back trouble 3: leak at C10.")]
    assert open_kinds(line) == ["algae"]


def test_a_report_that_others_confirmed_is_not_taken_back(line):
    line.text("bea", "there's a leak at C10")
    line.text("keisha", "leak at C10")
    assert line.text("bea", "undo")[0].startswith("Others have added to trouble 3")
    assert open_kinds(line) == ["algae", "leak"]


@pytest.mark.parametrize("said", ["leak at C10", "the pump stopped", "power is out", "smells like burning", "im hurt"])
def test_a_minor_is_told_to_step_away_and_never_to_fix(line, said):
    reply, _ = line.text("june", said)
    assert "tep away and tell an adult" in reply
    assert "reaker" not in reply
    refused, _ = line.text("june", "on it")
    assert "for adults" in refused
    assert [one.taken_by for one in rows(line, TroubleReport, TroubleReport.n == 3)] == [None]


@pytest.mark.parametrize(
    ("own", "number"), [("", "Call 911 or your local emergency number"), ("5-123", "Call 5-123 or your local")]
)
def test_an_injury_is_answered_first_of_all_with_whom_to_call(line, own, number):
    with line.books.write() as session:
        session.get_one(Farm, FARM).emergency = own
    reply, news = line.text("keisha", "bea cut her hand badly")
    assert number in reply.split("Noted:")[0]
    assert {who for who, _ in news} == {"walt", "tomas", "priya"}


def test_where_the_number_is_not_known_none_is_made_up(line):
    with line.books.write() as session:
        session.get_one(Farm, FARM).timezone = "Europe/Berlin"
    reply, _ = line.text("keisha", "bea cut her hand badly")
    assert "Call your local emergency number first" in reply
    assert "911" not in reply


def test_where_nobody_in_charge_can_be_texted_the_reporter_is_told_so(line):
    for who in ("priya", "walt", "tomas"):
        change(line.books, who, muted=True)
    assert "please call one of them" in line.text("bea", "leak at C10")[0]


def test_the_digest_names_what_is_open_with_its_age_and_who_has_it(line):
    line.text("bea", "there's a leak at C10")
    line.text("walt", "on it")
    later = NOW + timedelta(hours=22)
    with line.books.read() as session:
        said = rounds.digest(session, FARM, local_day(later, CHICAGO), later)
        seen = picture(Ledger(session, FARM), vocabulary(session, FARM), local_day(later, CHICAGO), later)
    assert "3 leak C10 22 h, Walt" in said
    assert [one.by for one in seen.troubles] == [("Bea",), ("Bea",)]


class Host:
    """A carrier that has one picture, or fails in one way."""

    def __init__(self, came):
        self.came, self.asked = came, []

    def medium(self, url):
        self.asked.append(url)
        if isinstance(self.came, Exception):
            raise self.came
        return self.came


def a_jpeg():
    written = BytesIO()
    Image.new("RGB", (300, 200), "green").save(written, "JPEG")
    return written.getvalue()


def send_photo(line, body, phone=WALT):
    """Somebody sends a photo by a carrier, with words or without; the reply."""
    medium = {"url": "https://api.example/ME1", "type": "image/jpeg"}
    n = next(line.numbers)
    with line.books.write() as session:
        farm = session.get_one(Farm, FARM)
        said = TextIn("twilio", f"MM{n}", farm.phone, phone, body, (medium,))
        stored, _ = inbox.receive(session, farm, said, line.now)
    inbox.finish(line.books, FARM, stored.id, line.conversation, line.now)
    return [one.body for one in rows(line, Outbound, Outbound.reply_to == stored.id)]


def test_a_photo_with_its_trouble_is_kept_with_it(line):
    send_photo(line, "leak at C10")
    assert fetch_due(line.books, {"twilio": Host(a_jpeg())}, line.now) == 1
    with line.books.read() as session:
        [photo] = keeping.photos_of(session, FARM, 3)
        assert Image.open(BytesIO(keeping.jpeg(session, FARM, photo.id))).size == (300, 200)
        assert photo.url is None


def test_a_photo_alone_just_after_its_trouble_is_of_it(line):
    line.text("walt", "leak at C10")
    assert send_photo(line, "") == ["Noted: photo added to trouble 3, leak at C10. Wrong? Text UNDO."]
    fetch_due(line.books, {"twilio": Host(a_jpeg())}, line.now)
    with line.books.read() as session:
        assert len(keeping.photos_of(session, FARM, 3)) == 1
        assert [one.step for one in troubles.steps(Ledger(session, FARM), 3)] == ["photo"]
    [told] = [one.body for one in to(line.books, "tomas") if "/board/trouble/3" in one.body]
    assert told.startswith("Walt mando foto")


def test_a_photo_alone_is_asked_about_and_shows_what_is_told_next(line):
    assert send_photo(line, "") == ["Photo kept. What does it show? Tell me in words and where."]
    line.now += timedelta(minutes=2)
    line.text("walt", "leak at C10")
    assert [one.n for one in rows(line, Photo)] == [3]


def test_a_photo_that_cannot_be_had_is_tried_again_and_then_told_in_words(line):
    send_photo(line, "leak at C10")
    host = Host(NotYet("404"))
    for wait in (timedelta(0), *WAITS):
        line.now += wait
        assert fetch_due(line.books, {"twilio": host}, line.now) == 0
    assert len(host.asked) == 1 + len(WAITS)
    assert [(one.state, one.url) for one in rows(line, Photo)] == [("failed", None)]
    [said] = [one.body for one in to(line.books, "walt", kind="news") if "photo" in one.body]
    assert (
        said
        == "Your photo from today 9:10am did not reach me. Please send it again, or tell me in words what it shows."
    )


@pytest.mark.parametrize(
    ("came", "state", "said"),
    [
        (b"<html>", "refused", "(not a picture I know)"),
        (Never("too_large"), "refused", "(too large)"),
        (Never("foreign_address"), "failed", "did not reach me"),
    ],
)
def test_what_is_no_photo_is_told_in_words_at_once(line, came, state, said):
    send_photo(line, "leak at C10")
    fetch_due(line.books, {"twilio": Host(came)}, line.now)
    assert [one.state for one in rows(line, Photo)] == [state]
    assert rows(line, PhotoFile) == []
    assert [said in one.body for one in to(line.books, "walt", kind="news") if "photo" in one.body] == [True]


def test_strangers_photos_are_never_fetched(line):
    send_photo(line, "leak at C10", "+13125550177")
    assert rows(line, Photo) == []


def test_photos_go_when_their_time_is_over(line):
    send_photo(line, "leak at C10")
    fetch_due(line.books, {"twilio": Host(a_jpeg())}, line.now)
    assert keeping.forget(line.books, NOW + timedelta(days=364), 365) == 0
    assert keeping.forget(line.books, NOW + timedelta(days=366), 365) == 1
    assert (rows(line, Photo), rows(line, PhotoFile)) == ([], [])
    with line.books.read() as session:
        assert session.exec(select(Inbound)).first() is not None
