"""How people tell of their work: dictated, by ear, in passing, with a change of mind."""

import pytest

from service.understanding import TextReading

Record = dict[str, object]


def told(reading: TextReading) -> list[Record]:
    """The notes of a reading without the words of a unit, which nothing hangs on."""
    return [{slot: value for slot, value in note.items() if slot != "unit"} for note in reading.record()["notes"]]


HARVESTS = {
    "nineteen romaine from a nine to a twelve": ("romaine", 19, ["A9", "A10", "A11", "A12"]),
    "eleven bunches of kale off of sea four and sea five": ("kale", 11, ["C4", "C5"]),
    "picked six mint, it was F as in Frank seven": ("mint", 6, ["F7"]),
    "Row B, towers 7 to 9, gave up a dozen butterheads": ("butterhead", 12, ["B7", "B8", "B9"]),
    "picked 7 kale from E2, wait no, E3": ("kale", 7, ["E3"]),
    "picked 12 romaine from A3, not A4": ("romaine", 12, ["A3"]),
    "2 grandkids underfoot and still picked 14 butterhead from A3": ("butterhead", 14, ["A3"]),
    "took 30 romaine from A10": ("romaine", 30, ["A10"]),
    "didn't get to the kale but did 14 romaine from A6": ("romaine", 14, ["A6"]),
    "corte 14 de silantro d la c4": ("cilantro", 14, ["C4"]),
}


@pytest.mark.parametrize("text", HARVESTS)
def test_a_harvest_is_read_however_it_is_told(read, text):
    crop, count, places = HARVESTS[text]
    assert told(read(text)) == [{"act": "harvest", "crop": crop, "count": count, "places": places}]


def test_what_was_thrown_out_besides_is_no_loss_of_all(read):
    text = "5 bok choys from e18 and 1 more got yeeted cuz it was all holes"
    assert told(read(text)) == [{"act": "harvest", "crop": "pak_choi", "count": 5, "places": ["E18"], "culled": 1}]


def test_a_place_said_first_is_where_all_that_follows_came_from(read):
    assert [note["places"] for note in told(read("f8: 6mint 4parsley"))] == [["F8"], ["F8"]]


def test_each_crop_keeps_the_place_said_behind_it(read):
    places = [note["places"] for note in told(read("12 romaine A1, 6 kale B2, 9 mint F3"))]
    assert places == [["A1"], ["B2"], ["F3"]]


@pytest.mark.parametrize(
    "text",
    [
        "no aphids on the kale in C8 that I can find",
        "hoy no hubo fugas en el tanque",
        "looked for leaks in B4, didnt see any",
        "the leak in C4 is fixed",
        "took my coat off at the door",
        "did anyone pick the 12 kale in D3",
        "should I throw out the 4 bolted cilantro",
    ],
)
def test_what_is_denied_mended_or_asked_is_not_written_down(read, text):
    assert read(text).verdict != "record"


READINGS = {
    "pH 6.1 main / 5.7 nursery": [("ph", 6.1, "main"), ("ph", 5.7, "nursery")],
    "ph del grande 6.3, del chico 5.8": [("ph", 6.3, "main"), ("ph", 5.8, "nursery")],
    "main ph is 6 point 3": [("ph", 6.3, "main")],
    "ph dropped from 6.4 to 6.1 in main": [("ph", 6.1, "main")],
    "nursery tk 1240 uS": [("ec", 1.24, "nursery")],
}


@pytest.mark.parametrize("text", READINGS)
def test_each_figure_goes_to_its_measure_and_its_tank(read, text):
    assert [(note["measure"], note["value"], note["where"]) for note in told(read(text))] == READINGS[text]


@pytest.mark.parametrize(
    "text",
    [
        "the school got 10 romaine and the shelter got the rest",
        "ph 6.2 yesterday, 6.0 today, main",
        "el tanque grande esta a la mitad, le eche 2 litros de agua y 59 de algo mas, 6.0",
    ],
)
def test_a_text_is_asked_about_when_a_part_of_it_is_in_no_note(read, text):
    assert read(text).verdict == "ask"


def test_supplies_in_a_list_have_a_state_each(read):
    states = [(one["item"], one["state"], one.get("amount")) for one in told(read("Labels: out. Bags: 150."))]
    assert states == [("labels", "out", None), ("bags", "have", 150)]


def test_arriving_or_leaving_run_on_with_a_report_is_read_as_well(read):
    acts = [note["act"] for note in told(read("just got here main tank ph is 6.1"))]
    assert acts == ["arrive", "reading"]


@pytest.mark.parametrize(
    "text", ["Harassed 9 bunches of party from E12. HARVESTED. Parsley.", "9 row main A19. Romaine"]
)
def test_single_words_behind_a_sentence_put_right_what_a_phone_made_of_it(read, text):
    (note,) = told(read(text))
    assert (note["act"], note["count"]) == ("harvest", 9)
