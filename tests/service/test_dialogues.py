"""Whole dialogues as data: what people text, at what time, and the very words the farm answers.

In fixtures/dialogues: "@ 2026-05-04T09:10" sets the farm's clock, "walt> ..." is a text, "< ..." a line of the answer
to it ("<" alone: no answer), "to priya: ..." what somebody else is sent because of it. "(code)" stands for the code
last sent to who texts. Lines with # are remarks.
"""

from datetime import datetime
from pathlib import Path

import pytest

from core.books.ledger import Ledger
from service.segments import count as segments
from tests.demo_farm import CHICAGO, FARM
from tests.practice_line import Line

FOLDER = Path(__file__).parents[2] / "fixtures" / "dialogues"
FILES = sorted(FOLDER.glob("*.txt"))


def blocks(file):
    """A dialogue as steps: ("@", time) or (who, text, answer lines, news)."""
    steps = []
    for line in file.read_text("utf-8").splitlines():
        if line.startswith("@"):
            steps.append(("@", line[1:].strip()))
        elif line.startswith("<"):
            steps[-1][2].append(line[1:].strip())
        elif line.startswith("to "):
            who, said = line.removeprefix("to ").split(": ", 1)
            steps[-1][3].append((who, said))
        elif "> " in line and not line.startswith("#"):
            who, said = line.split("> ", 1)
            steps.append((who, said.strip(), [], []))
    return steps


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_dialogue_goes_as_written(demo_books, file):
    line = Line(demo_books)
    for step in blocks(file):
        if step[0] == "@":
            line.now = datetime.fromisoformat(step[1]).replace(tzinfo=CHICAGO)
            continue
        who, said, answer, news = step
        reply, told = line.text(who, said)
        assert reply == "\n".join(answer), f"{who}> {said}"
        assert not news or told == news, f"{who}> {said}"
        assert not reply or segments(reply).encoding == "GSM-7", reply
        line.now = line.now.replace(microsecond=line.now.microsecond + 1)
    with demo_books.read() as session:
        assert Ledger(session, FARM).differences() == []


def test_there_are_dialogues():
    assert len(FILES) >= 5
