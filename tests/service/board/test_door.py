import re
from datetime import timedelta

import pytest
from fastapi.testclient import TestClient
from sqlmodel import select

from core.books.tables import Person
from service.board import signing
from service.board.door import MOST_KNOCKS
from service.tables import Outbound, SignedIn, SignInCode
from tests.board_door import DOLORES, WALT, ask, codes, enter, sign_in, token_on
from tests.browser.farm import MORNING, PRIYA, open_demo

NOBODY = "+13125550177"


def later(app, **passed):
    """The service's clock, so much later."""
    moment = app.state.clock() + timedelta(**passed)
    app.state.clock = lambda: moment


def rows(app, table):
    with app.state.books.read() as session:
        return session.exec(select(table)).all()


def wrong(code):
    return f"{(int(code) + 1) % 10**6:06}"


def is_open(client):
    return client.get("/board", follow_redirects=False).status_code == 200


def test_whoever_is_not_signed_in_is_led_to_the_way_in_and_back(app, browser):
    led = browser.get("/board/texts?show=unread", follow_redirects=False)
    assert (led.status_code, led.headers["location"]) == (303, "/board/sign-in?to=%2Fboard%2Ftexts%3Fshow%3Dunread")
    ask(browser)
    back = enter(browser, codes(app)[-1], to="/board/texts?show=unread")
    assert back.headers["location"] == "/board/texts?show=unread"


def test_a_coordinator_signs_in_with_the_code_texted_to_her(app, browser):
    page = ask(browser, "(312) 555-0100")
    assert page.status_code == 200
    assert enter(browser, codes(app)[-1]).status_code == 303
    assert is_open(browser)


@pytest.mark.parametrize("phone", [PRIYA, DOLORES, NOBODY], ids=["a coordinator", "a volunteer", "nobody"])
def test_the_answer_to_a_number_is_the_same_whoever_has_it(app, browser, phone):
    """Nobody finds out by this door who is of the crew."""
    page = ask(browser, phone).text
    known = ask(browser, WALT).text
    assert page.replace(phone, "").replace(phone[1:], "") == known.replace(WALT, "").replace(WALT[1:], "")
    wrong_page = enter(browser, "000000", phone).text
    assert wrong_page.replace(phone[1:], "") == enter(browser, "000000", WALT).text.replace(WALT[1:], "")


@pytest.mark.parametrize("phone", [DOLORES, NOBODY], ids=["a volunteer", "nobody"])
def test_no_code_is_texted_to_who_needs_no_page(app, browser, phone):
    ask(browser, phone)
    assert [row for row in rows(app, Outbound) if row.kind == "code"] == []
    assert len(rows(app, SignInCode)) == 1  # written down all the same: asking takes as long


def test_a_code_is_kept_hashed_and_the_session_too(app, priya):
    code, token = codes(app)[-1], priya.cookies["rowcall_board"]
    kept = [row.model_dump_json() for table in (SignInCode, SignedIn) for row in rows(app, table)]
    assert not any(code in row or token in row or token.split(".")[1] in row for row in kept)


def test_a_code_opens_once(app, browser):
    ask(browser)
    code = codes(app)[-1]
    assert enter(browser, code).status_code == 303
    assert enter(browser, code).status_code == 422


def test_a_code_is_worthless_after_ten_minutes(app, browser):
    ask(browser)
    later(app, minutes=10)
    assert enter(browser, codes(app)[-1]).status_code == 422


def test_a_code_bears_five_tries(app, browser):
    ask(browser)
    code = codes(app)[-1]
    for _ in range(signing.MOST_TRIES):
        assert enter(browser, wrong(code)).status_code == 422
    assert enter(browser, code).status_code == 422


def test_the_newest_code_is_the_one_that_opens(app, browser):
    ask(browser)
    later(app, seconds=30)
    ask(browser)
    first, second = codes(app)
    assert first == second or enter(browser, first).status_code == 422
    assert enter(browser, second).status_code == 303


def test_one_number_is_texted_three_codes_an_hour(app, browser):
    for _ in range(5):
        assert ask(browser).status_code == 200
    assert len(codes(app)) == signing.MOST_CODES_AN_HOUR
    later(app, hours=1)
    ask(browser)
    assert len(codes(app)) == signing.MOST_CODES_AN_HOUR + 1


def test_one_address_knocks_so_often_and_then_waits(app, browser):
    token = token_on(browser.get("/board/sign-in"))
    form = {"token": token, "phone": NOBODY, "code": "1"}
    answers = [browser.post("/board/sign-in/code", data=form).status_code for _ in range(MOST_KNOCKS + 1)]
    assert answers == [422] * MOST_KNOCKS + [429]
    later(app, minutes=10)
    assert browser.post("/board/sign-in/code", data=form).status_code == 422


def test_a_number_that_cannot_be_texted_is_asked_for_again_with_what_was_typed(browser):
    page = ask(browser, '12"><b>')
    assert page.status_code == 422
    assert "area code" in page.text
    assert "12&#34;&gt;&lt;b&gt;" in page.text


def test_a_session_ends_after_two_hours_without_use(app, priya):
    later(app, hours=1, minutes=59)
    assert is_open(priya)
    later(app, hours=1, minutes=59)
    assert is_open(priya)
    later(app, hours=2, minutes=1)
    assert not is_open(priya)


def test_a_session_ends_after_half_a_day_in_use(app, priya):
    for _ in range(12):
        assert is_open(priya)
        later(app, hours=1, seconds=1)
    assert not is_open(priya)


def test_signing_out_ends_the_session_in_the_books_too(app, priya):
    token = priya.cookies["rowcall_board"]
    priya.post("/board/sign-out", data={"token": token_on(priya.get("/board"))})
    assert "rowcall_board" not in priya.cookies
    priya.cookies.set("rowcall_board", token, path="/board")
    assert not is_open(priya)
    assert rows(app, SignedIn) == []


@pytest.mark.parametrize("change", [{"role": "volunteer"}, {"state": "left"}])
def test_who_is_no_lead_any_more_is_out_at_once(app, priya, change):
    with app.state.books.write() as session:
        person = session.exec(select(Person).where(Person.phone == PRIYA)).one()
        for name, value in change.items():
            setattr(person, name, value)
    assert not is_open(priya)


def test_a_lead_sees_what_leads_need_and_no_texts(walt):
    assert is_open(walt)
    assert walt.get("/board/towers").status_code == 200
    refused = walt.get("/board/texts")
    assert refused.status_code == 403
    assert "for coordinators" in refused.text
    assert "/board/texts" not in walt.get("/board").text


@pytest.mark.parametrize(
    "token", ["", "x", "1.x", "1.", ".", "999999999999.x", "-1.x", "²." + "x" * 50, "1." + "y" * 5000]
)
def test_a_made_up_session_is_nobodys(browser, token):
    cookie = {"cookie": f"rowcall_board={token}".encode()}
    assert browser.get("/board", headers=cookie, follow_redirects=False).status_code == 303
    assert browser.get("/board/events", headers=cookie).status_code == 401


@pytest.mark.parametrize("path", ["/board/sign-out", "/board/language", "/board/texts/settle"])
@pytest.mark.parametrize("token", ["", "0" * 64, "Ω"])
def test_a_form_from_elsewhere_changes_nothing(app, priya, path, token):
    assert priya.post(path, data={"token": token, "language": "es"}).status_code == 403
    assert [row.language for row in rows(app, SignedIn)] == ["en"]


def test_the_way_in_takes_no_form_from_elsewhere_either(app, browser):
    assert browser.post("/board/sign-in", data={"phone": PRIYA}).status_code == 403
    assert rows(app, SignInCode) == []


@pytest.mark.parametrize(
    "to", ["https://evil.example/", "//evil.example", "/board/../practice//x", "/practice", "\\\\x"]
)
def test_nobody_is_led_elsewhere_after_signing_in(app, browser, to):
    ask(browser)
    assert enter(browser, codes(app)[-1], to=to).headers["location"] == "/board"


def test_the_cookie_is_for_the_board_alone_and_out_of_reach_of_script(app, browser):
    ask(browser)
    cookie = enter(browser, codes(app)[-1]).headers["set-cookie"]
    for part in ("HttpOnly", "Path=/board", "SameSite=lax", "Max-Age=43200"):
        assert part in cookie
    assert "Secure" not in cookie


def test_at_a_safe_address_the_cookie_is_sent_safely_only(tmp_path):
    app = open_demo(f"sqlite:///{tmp_path}/farm.db", public_url="https://line.farm.example")
    with TestClient(app, base_url="https://line.farm.example") as client:
        page = client.get("/board/sign-in")
        assert "Secure" in page.headers["set-cookie"]
        assert page.headers["strict-transport-security"] == "max-age=31536000"
        ask(client)
        assert "Secure" in enter(client, codes(app)[-1]).headers["set-cookie"]


def test_the_code_is_texted_in_the_persons_language_and_one_segment(app, browser):
    tomas = "+13125550106"
    ask(browser, tomas)
    (sent,) = [row for row in rows(app, Outbound) if row.kind == "code"]
    assert sent.body.startswith("Tern Street Farm: el c")
    assert len(sent.body) <= 160
    assert sent.expires_at == MORNING + signing.CODE_LIVES


def test_the_practice_phone_shows_the_code(app, browser):
    ask(browser)
    assert codes(app)[-1] in browser.get("/practice?as=priya").text


def test_codes_are_six_digits_and_leading_zeros_are_kept():
    assert all(re.fullmatch(r"\d{6}", signing.new_code()) for _ in range(200))


def test_sessions_that_are_over_and_old_codes_are_forgotten(app, browser):
    sign_in(app, browser)
    later(app, days=2)
    sign_in(app, browser)
    assert len(rows(app, SignedIn)) == 1
    assert len(rows(app, SignInCode)) == 1
