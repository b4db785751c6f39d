import pytest

from service.phones import e164, is_fictional


@pytest.mark.parametrize(
    "raw", ["", "hello", "555-0123", "12345", "+1312555014", "call 312-555-0142 now", "\x00", "9" * 400]
)
def test_what_cannot_be_dialled_is_no_number(raw):
    assert e164(raw) is None


def test_the_ways_people_write_a_number_are_one_number():
    ways = ["312 555 0142", "(312) 555-0142", "+1 312 555 0142", "1-312-555-0142", "312.555.0142"]
    assert {e164(way) for way in ways} == {"+13125550142"}


@pytest.mark.parametrize(
    ("number", "fictional"),
    [("+13125550100", True), ("+13125550199", True), ("+13125550200", False), ("+13125550099", False)],
)
def test_only_a_hundred_numbers_an_area_are_kept_for_invented_people(number, fictional):
    assert is_fictional(number) is fictional
