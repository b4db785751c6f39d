import pytest
from fastapi.testclient import TestClient

from service.practice.page import EXAMPLES
from service.tables import Inbound
from tests.browser.farm import open_demo
from tests.service.practice.phone import HARVEST, rows, text


def test_a_form_is_a_text_too_and_leads_back_to_the_page(app, phone):
    fields = {"from": "walt", "text": HARVEST, "id": "form-1", "sent": ""}
    for _ in range(2):
        back = phone.post("/practice/texts", data=fields, follow_redirects=False)
        assert (back.status_code, back.headers["location"]) == (303, "/practice?as=walt#text")
    assert [row["id"] for row in rows(app, Inbound)] == ["practice:form-1"]
    page = phone.get("/practice?as=walt").text
    assert HARVEST in page
    assert "14 romaine" in page.replace(HARVEST, "")


def test_a_chosen_time_is_kept_for_the_next_text(phone):
    fields = {"from": "walt", "text": "what do i do", "sent": "2026-11-25T16:30"}
    page = phone.post("/practice/texts", data=fields)
    assert 'name="sent" value="2026-11-25T16:30"' in page.text


def test_a_form_with_a_fault_shows_the_fault_and_keeps_the_words(app, phone):
    page = phone.post("/practice/texts", data={"from": "walt", "text": "5 <kale>", "sent": "soon"})
    assert page.status_code == 422
    assert "sent: not a time" in page.text
    assert "5 &lt;kale&gt;</textarea>" in page.text
    assert rows(app, Inbound) == []


def test_the_page_takes_nothing_from_elsewhere_and_runs_nothing_inside_it(phone):
    text(phone, "walt", "<script>alert(1)</script>")
    page = phone.get("/practice?as=walt")
    assert page.headers["content-security-policy"].startswith("default-src 'self';")
    assert "<script>alert" not in page.text
    assert page.text.count("<script") == page.text.count('<script src="/practice/static/') == 1
    assert "style=" not in page.text
    assert "<style" not in page.text


@pytest.mark.parametrize("name", ["practice.css", "practice.js", "leaf.svg"])
def test_what_the_page_needs_is_served_with_it(phone, name):
    assert f"/practice/static/{name}" in phone.get("/practice").text
    assert phone.get(f"/practice/static/{name}").status_code == 200


def test_a_name_nobody_has_shows_somebody_else_and_says_so(phone):
    page = phone.get("/practice", params={"as": "<wally>"})
    assert page.status_code == 422
    assert "Nobody here is &lt;wally&gt;. This is Priya." in page.text


def test_an_example_text_is_put_into_the_box(phone):
    assert f">{EXAMPLES['en']['crew'][0]}</textarea>" in phone.get("/practice?as=walt&example=0").text
    assert f">{EXAMPLES['es']['crew'][0]}</textarea>" in phone.get("/practice?as=mateo&example=0").text
    assert "></textarea>" in phone.get("/practice?as=walt&example=99").text


@pytest.mark.parametrize("words", EXAMPLES["en"]["crew"] + EXAMPLES["en"]["lead"] + EXAMPLES["en"]["coordinator"])
def test_every_example_gets_an_answer_that_is_no_apology(phone, words):
    replies = text(phone, "priya", words).json()["replies"]
    assert replies
    assert all("Sorry" not in reply["text"] for reply in replies)


@pytest.mark.parametrize("path", ["", "/people", "/threads/walt", "/events"])
def test_nothing_of_it_is_there_where_practice_is_off(tmp_path, path):
    with TestClient(open_demo(f"sqlite:///{tmp_path}/farm.db", practice=False)) as phone:
        assert phone.get(f"/practice{path}").status_code == 404
        assert text(phone, "walt", "hi").status_code == 404
