import re
from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.tables import Farm
from service.board.log_book import A_PAGE
from service.tables import Inbound, Proof
from tests.board_door import codes, token_on
from tests.browser.farm import MORNING, tell
from tests.service.board.test_pages import say


def lines(page):
    """Each text on the page: whose it is, its words, and how far it is."""
    found = re.findall(r'<li class="(?:in|out)">(.*?)</li>', page.text, re.DOTALL)
    return [" ".join(re.sub(r"<[^>]+>", " ", one).split()) for one in found]


def test_texts_in_and_out_are_shown_the_newest_first_with_state_and_cost(priya):
    say(priya, "walt", "picked 14 romaine from B1 and B2, 2 culled")
    newest = lines(priya.get("/board/texts"))[:2]
    assert newest[0].startswith("To Walt reply today 9am Noted: 14 romaine")
    assert newest[0].endswith("delivered 1 segment")
    assert newest[1] == "From Walt today 9am picked 14 romaine from B1 and B2, 2 culled read 1 segment"


def test_the_words_of_a_code_are_shown_to_nobody_and_found_by_nobody(app, priya):
    """Whoever reads the log must not be able to sign in as somebody else."""
    code = codes(app)[-1]
    page = priya.get("/board/texts")
    assert code not in page.text
    assert "The words of a code" in page.text
    assert lines(priya.get("/board/texts", params={"words": code})) == []


def test_a_code_that_still_confirms_something_is_shown_to_nobody_and_found_by_nobody(app, priya):
    say(priya, "priya", "tell everyone: we open at 10 on saturday")
    with app.state.books.read() as session:
        code = session.exec(select(Proof.code)).one()
    page = priya.get("/board/texts")
    assert code not in page.text
    assert "The words of a code" in lines(page)[0]
    assert lines(priya.get("/board/texts", params={"words": code})) == []
    assert code not in priya.get("/board/texts", params={"words": "is this you"}).text


def test_a_code_that_was_used_opens_nothing_more_and_its_text_is_shown(app, priya):
    say(priya, "priya", "tell everyone: we open at 10 on saturday")
    with app.state.books.read() as session:
        code = session.exec(select(Proof.code)).one()
    say(priya, "priya", code)
    assert any(code in one for one in lines(priya.get("/board/texts", params={"words": "text back"})))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"words": "MINT"}, {"From Dolores", "To Dolores"}),
        ({"words": "dolo"}, {"From Dolores", "To Dolores"}),
        ({"words": "mint", "show": "in"}, {"From Dolores"}),
        ({"words": "mint", "show": "out"}, {"To Dolores"}),
        ({"words": "%"}, set()),
        ({"words": "_"}, set()),
        ({"words": "\x00mint"}, {"From Dolores", "To Dolores"}),
        ({"show": "unread"}, {"From Keisha"}),
    ],
)
def test_texts_are_found_by_words_by_name_and_by_kind(priya, asked, found):
    say(priya, "dolores", "picked some mint")
    say(priya, "keisha", "the flibber is jammed again")
    page = priya.get("/board/texts", params=asked)
    assert {" ".join(one.split()[:2]) for one in lines(page)} == found


@pytest.mark.parametrize("asked", [{"show": "everything"}, {"before": "soon"}, {"words": "x" * 101}])
def test_what_cannot_be_asked_for_is_refused_without_a_fuss(priya, asked):
    assert priya.get("/board/texts", params=asked).status_code == 422


def test_a_text_that_was_not_understood_is_seen_to_once(app, priya):
    say(priya, "keisha", "the flibber is jammed again")
    page = priya.get("/board/texts?show=unread")
    text_id = re.search(r'name="id" value="([^"]+)"', page.text)[1]
    after = priya.post("/board/texts/settle", data={"token": token_on(page), "id": text_id})
    assert lines(after) == []
    assert "flibber" not in priya.get("/board").text
    with app.state.books.read() as session:
        assert session.exec(select(Inbound.settled_at).where(Inbound.id == text_id)).one() == MORNING


def test_a_text_that_is_not_there_cannot_be_seen_to(priya):
    form = {"token": token_on(priya.get("/board")), "id": "practice:nothing"}
    assert priya.post("/board/texts/settle", data=form).status_code == 404


def test_older_texts_are_a_page_away_and_none_is_left_out(app, priya):
    for n in range(A_PAGE + 20):
        tell(app, f"number {n} of many", now=MORNING - timedelta(minutes=n + 1))
    seen, page = [], priya.get("/board/texts", params={"words": "of many"})
    while True:
        seen += re.findall(r"number (\d+) of many", page.text)
        older = re.search(r'<a rel="next" href="([^"]+)"', page.text)
        if older is None:
            break
        page = priya.get(older[1].replace("&amp;", "&"))
    assert [int(n) for n in seen] == list(range(A_PAGE + 20))


def test_another_farms_texts_are_not_shown(app, priya):
    with app.state.books.write() as session:
        own = session.exec(select(Farm)).one()
        session.add(Farm(**own.model_dump(exclude={"id", "slug", "phone"}), id=2, slug="other", phone="+13125550198"))
        session.flush()
        for farm in (1, 2):
            session.add(
                Inbound(
                    farm_id=farm,
                    id="practice:x",
                    carrier="practice",
                    phone="+13125550101",
                    body=f"of farm {farm}",
                    media=[],
                    sent_at=MORNING,
                    received_at=MORNING,
                    done_at=MORNING,
                )
            )
    assert [one for one in lines(priya.get("/board/texts", params={"words": "of farm"})) if "farm 2" in one] == []
