"""What is said to be mended, not there, elsewhere or still standing is written down as nothing that happened."""

import pytest


@pytest.mark.parametrize(
    "text",
    [
        "all good with the leak now",
        "fixed the pump",
        "the power is back",
        "la fuga ya paró",
        "todo bien con la bomba ya",
        "losses: none. leaks: none. pests: none",
        "checked for pests on C3, all good",
        "my car is leaking oil",
        "the pump is not broken",
        "12 romaine in A1 look ready",
        "A1 has 6 romaine left",
        "quedan 6 romanas en A1",
        "main needs 10 ml ph down",
        "calibration due on ph",
        "ph target 5.8 main",
    ],
)
def test_nothing_is_written(read, text):
    assert read(text).verdict == "none"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("leak at A3, otherwise all good", "leak"),
        ("lights are not on", "light"),
        ("la bomba no funciona", "pump"),
        ("no power", "power"),
    ],
)
def test_what_is_wrong_stays_wrong(read, text, kind):
    assert [note.kind for note in read(text).notes] == [kind]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("6 romaine each from A1, A2 and A3", 18),
        ("6 romanas de cada una de A1, A2 y A3", 18),
        ("6 romaine per tower from A1-A4, 24 total", 24),
        ("3 doz. less 1 romaine A1-A3", 35),
        ("2-1/2 dozen romaine A1-A3", 30),
        ("12x romaine A1", 12),
    ],
)
def test_a_sum_is_worked_out(read, text, count):
    reading = read(text)
    assert (reading.verdict, [note.count for note in reading.notes]) == ("record", [count])


@pytest.mark.parametrize(
    "text", ["6 romaine and 4 kale each from A1 and A2", "me and bea picked 12 kale each", "3.2 kale"]
)
def test_a_count_that_could_be_two_things_is_asked(read, text):
    reading = read(text)
    assert (reading.verdict, reading.missing) == ("ask", ("count",))


@pytest.mark.parametrize(
    "text",
    ["got gloves, still out of labels", "out of labels but plenty of gloves", "hay guantes pero no hay etiquetas"],
)
def test_a_supply_at_hand_is_not_out_with_another(read, text):
    assert [(note.item, note.state) for note in read(text).notes] == [("labels", "out")]
