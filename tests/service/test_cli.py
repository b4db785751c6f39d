"""The command line, run as a person would: what it prints, and what it says when something is wrong."""

import json

import pytest

from service.settings import settings


def test_say_texts_the_farm_and_prints_its_answer(rowcall):
    said = rowcall("say", "--as", "walt", "--at", "2026-05-04T09:10", "picked 14 romaine from B1 and B2")
    assert said.output.startswith("Noted: 14 romaine picked from B1, B2.")


def test_the_digest_of_a_day_is_shown_and_not_sent(rowcall):
    shown = rowcall("digest", "--date", "2026-05-04")
    assert shown.output.startswith("Tern Street Farm, Mon May 4")


def test_verify_finds_the_books_in_order(rowcall):
    assert rowcall("verify").output == "The tables of 1 farm(s) say what the journal says.\n"


def test_understand_prints_the_reading(rowcall):
    read = rowcall("understand", "ph main 6.1", "--sender", "walt", "--sent", "2026-05-02T09:10")
    assert json.loads(read.output)["notes"] == [{"act": "reading", "measure": "ph", "value": 6.1, "where": "main"}]


def test_understand_reads_lines_and_names_the_bad_ones(rowcall, tmp_path):
    good = {"id": "1", "text": "12 mint", "sender": "walt", "sent": "2026-05-02T09:10", "context": None}
    (tmp_path / "lines").write_text(json.dumps(good) + "\nnot json\n", "utf-8")
    read = rowcall("understand", "--lines", str(tmp_path / "lines"))
    first, second = map(json.loads, read.output.splitlines())
    assert (first["id"], first["verdict"]) == ("1", "record")
    assert second["line"] == 2
    assert "JSON" in second["error"]
    assert read.exit_code == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("say", "--as", "nobody", "hi"), "nobody here is 'nobody'; there are priya, walt"),
        (("say", "--as", "walt", "--at", "tomorrow", "hi"), "write it like 2026-05-02T09:10"),
        (("digest", "--date", "2026-02-30"), "write it like 2026-05-02"),
        (("understand",), "give a text"),
        (("understand", "hi", "--context", "{bad"), "--context is not JSON"),
    ],
)
def test_what_is_wrong_is_said_in_words(rowcall, words, said):
    result = rowcall(*words)
    assert said in result.output
    assert result.exit_code == 2


def test_missing_books_are_named_with_what_to_do(rowcall, tmp_path, monkeypatch):
    monkeypatch.setenv("ROWCALL_DATABASE", f"sqlite:///{tmp_path}/none.db")
    settings.cache_clear()
    result = rowcall("verify")
    assert "rowcall migrate" in result.output
    assert result.exit_code == 1


def test_migrate_makes_the_books_and_demo_fills_them_once(rowcall, tmp_path, monkeypatch):
    monkeypatch.setenv("ROWCALL_DATABASE", f"sqlite:///{tmp_path}/new/new.db")
    settings.cache_clear()
    assert rowcall("migrate").output == "The books are up to date.\n"
    assert "no farm in the books yet" in rowcall("people").output
    assert rowcall("demo").output == "Tern Street Farm is loaded.\n"
    assert "kept" in rowcall("demo").output
    assert "is loaded" in rowcall("demo", "--fresh").output
    assert rowcall("people").output.splitlines()[0].split() == ["priya", "coordinator", "en", "here"]
