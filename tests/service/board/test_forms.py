"""Whatever a form holds, the board answers: nothing breaks, and nobody gets in by it."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.board.forms import LONGEST_FORM, MOST_FIELDS
from tests.board_door import token_on

FIELDS = ("phone", "code", "farm", "to", "language", "id")
WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=60) | st.from_regex(r"\+?[\d\s().-]{0,30}")

thoroughly = settings(
    max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.mark.parametrize("path", ["/board/sign-in", "/board/sign-in/code"])
def test_the_way_in_answers_whatever_is_typed(app, browser, path):
    app.state.board_pace.allows = lambda *_: True
    token = token_on(browser.get("/board/sign-in"))

    @thoroughly
    @given(fields=st.dictionaries(st.sampled_from(FIELDS), WORDS))
    def post(fields):
        answer = browser.post(path, data={"token": token, **fields}, follow_redirects=False)
        assert answer.status_code in (200, 422)
        assert "rowcall_board" not in browser.cookies

    post()


@pytest.mark.parametrize("path", ["/board/language", "/board/texts/settle"])
def test_the_forms_of_a_page_answer_whatever_is_in_them(priya, path):
    token = token_on(priya.get("/board"))

    @thoroughly
    @given(fields=st.dictionaries(st.sampled_from(FIELDS), WORDS))
    def post(fields):
        answer = priya.post(path, data={"token": token, **fields}, follow_redirects=False)
        assert answer.status_code in (303, 404)
        assert answer.headers.get("location", "/board").startswith("/board")

    post()


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"x" * (LONGEST_FORM + 1), 413),
        (b"&".join(b"a%d=1" % n for n in range(MOST_FIELDS + 1)), 400),
        (b"token=\xff\xfe", 400),
        (b"token=%ff%00", 403),
        (b"", 403),
        (b'{"token": "x"}', 403),
    ],
)
def test_what_is_no_form_of_ours_is_refused(priya, body, status):
    assert priya.post("/board/language", content=body).status_code == status
