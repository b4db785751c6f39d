"""JSON lines in, JSON lines out."""

import json

from service.understanding.lines import read_lines

GOOD = {"id": "a1", "text": "12 romaine A1-2", "sender": "walt", "sent": "2026-05-02T09:10:00-05:00", "context": None}


def read(words, *lines):
    return [json.loads(line) for line in read_lines(lines, words)]


def test_each_line_becomes_a_reading(words):
    [reading] = read(words, json.dumps(GOOD))
    assert reading["id"] == "a1"
    assert reading["verdict"] == "record"
    assert reading["notes"] == [{"act": "harvest", "crop": "romaine", "count": 12, "places": ["A1", "A2"]}]
    assert reading["missing"] == []


def test_empty_lines_pass(words):
    assert len(read(words, "", json.dumps(GOOD), "  \n")) == 1


def test_a_bad_line_is_named_by_its_number_and_the_rest_goes_on(words):
    lines = read(
        words,
        "{nonsense",
        "[]",
        json.dumps({**GOOD, "text": None}),
        json.dumps({**GOOD, "sent": "yesterday"}),
        json.dumps({**GOOD, "context": {"last": {"act": "dance"}}}),
        json.dumps(GOOD),
    )
    errors = [line["error"] for line in lines if "error" in line]
    assert [one.split(":")[0] for one in errors] == ["line 1", "line 2", "line 3", "line 4", "line 5"]
    assert "dance" in errors[4]
    assert lines[-1]["verdict"] == "record"
