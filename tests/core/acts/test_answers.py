"""Questions put to the demo farm on its Monday morning, by those who may ask them."""

from datetime import date, timedelta

import pytest

from core.acts import carry_out
from core.acts.answers import ANSWERS, answer
from core.acts.daily import make_tasks
from core.books import crew, growing, tasks
from core.books.ledger import Told
from core.errors import Refused
from core.notes import QUESTIONS, Ask, Clean, Gave, Harvest, Hours, Move, Reading, ShiftAnswer, Stock
from core.outcome import Fact
from service.segments import count
from service.words import Speaker
from tests.demo_farm import CHICAGO, NOW, person_id, scene

TODAY = date(2026, 5, 4)
LANGUAGES = ("en", "es")


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        make_tasks(scene(session).ledger, TODAY, Told(None, NOW, NOW))
        yield session


def ask(session, who="bea", at=NOW, **slots):
    here = scene(session, who, at=at)
    return answer(Ask(**slots), here.told, here.ledger, here.vocabulary)


def say(session, outcome, language="en"):
    here = scene(session)
    return Speaker(language, here.vocabulary, TODAY).text((*outcome.facts, *outcome.remarks))


def asked(session, who="bea", at=NOW, **slots):
    return say(session, ask(session, who, at, **slots))


def tell(session, note, who="walt", at=NOW):
    return carry_out(note, scene(session, who, at=at, sure=True))


def test_there_is_an_answer_for_every_question():
    assert set(ANSWERS) == set(QUESTIONS)


ORDINARY = [
    *({"about": about} for about in QUESTIONS),
    *({"about": "place", "place": place} for place in ("A1", "C24", "dome", "shelf1", "shelves", "towers", "main")),
    *({"about": "harvest", "period": period} for period in ("today", "week", "last_week", "month", "season")),
    *({"about": "given", "period": period} for period in ("week", "month")),
    *({"about": "stock", "item": item} for item in ("gloves", "seed", "ph_down", "plugs")),
    *({"about": "reading", "measure": measure} for measure in ("ph", "ec", "air_temp", "humidity", "level", "oxygen")),
    *({"about": "ready", "crop": crop} for crop in ("kale", "oakleaf", "mint")),
    *({"about": "tasks", "period": period} for period in ("today", "tomorrow")),
    *({"about": "roster", "date": TODAY + timedelta(days=days)} for days in range(7)),
]


@pytest.mark.parametrize("slots", ORDINARY, ids=lambda slots: "-".join(map(str, slots.values())))
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.one_engine
def test_an_ordinary_answer_is_one_text(session, slots, language):
    for who in ("priya", "june"):
        text = say(session, ask(session, who, **slots), language)
        assert (count(text).encoding, count(text).parts) == ("GSM-7", 1), text


def test_my_shift_is_the_next_one_with_those_who_share_it(session):
    assert asked(session, "walt", about="shift") == "You are on today 8-10am with Dolores."


def test_a_shift_that_is_over_is_not_the_next_one(session):
    later = NOW + timedelta(hours=3)
    assert "Wed May 6 8-10am" in asked(session, "walt", later, about="shift")


def test_a_shift_given_up_is_not_mine_any_more(session):
    shift = crew.shifts_of(scene(session).ledger, person_id(session, "bea"), NOW, CHICAGO)[0]
    tell(session, ShiftAnswer(answer="no", shift=shift.id), "bea")
    assert "tomorrow" not in asked(session, about="shift")


def test_whether_i_am_on_on_a_day_is_told_with_the_next_time(session):
    said = asked(session, "bea", about="shift", date=date(2026, 5, 8))
    assert said.startswith("You are not on Fri May 8. You are on ")


def test_somebody_without_shifts_is_told_so(session):
    far = NOW + timedelta(days=60)
    assert asked(session, "bea", far, about="shift").startswith("You have no shift coming up")


def test_the_list_is_numbered_and_the_numbers_stand_for_tasks_of_the_day(session):
    outcome = ask(session, "walt", about="tasks")
    lines = say(session, outcome).splitlines()
    assert [line.split()[0] for line in lines] == ["To", "1", "2", "3", "4", "5", "+10:"]
    open_now = [one.id for one in tasks.open_tasks(scene(session).ledger, TODAY)]
    assert set(outcome.listed) < set(open_now)
    assert len(outcome.listed) == 5


def test_a_minors_list_has_no_work_at_the_tanks(session):
    assert "pH" in asked(session, "walt", about="tasks")
    assert "pH" not in asked(session, "june", about="tasks")


def test_what_somebody_else_has_taken_is_not_on_my_list(session):
    here = scene(session)
    first = ask(session, "walt", about="tasks").listed[0]
    writing = here.ledger.enter("test", here.told)
    writing.put(tasks.Task, {"id": first}, taken_by=person_id(session, "walt"))
    assert first in ask(session, "walt", about="tasks").listed
    assert first not in ask(session, "dolores", about="tasks").listed


def test_tomorrows_work_has_no_numbers_yet(session):
    outcome = ask(session, "june", about="tasks", period="tomorrow")
    assert outcome.listed == ()
    assert say(session, outcome).startswith("As it looks for tomorrow: cut ")


def test_the_roster_names_first_names_and_what_is_missing(session):
    """Tomas has said no, and Bea that she will be late."""
    morning = "Coming tomorrow:\n9-11am Dolores, Bea (15 min late)\n"
    assert asked(session, about="roster", period="tomorrow") == morning + "5-7pm Mateo, 1 more needed"
    tell(session, ShiftAnswer(answer="no", shift=_shift(session, "mateo", 5, 17)), "mateo")
    assert asked(session, about="roster", period="tomorrow") == morning + "5-7pm nobody yet, 2 needed"


def _shift(session, who, day, hour):
    mine = crew.shifts_of(scene(session).ledger, person_id(session, who), NOW, CHICAGO)
    local = ((one.id, one.starts_at.astimezone(CHICAGO)) for one in mine)
    return next(number for number, start in local if (start.day, start.hour) == (day, hour))


def test_nobody_is_told_a_number_or_a_family_name(session):
    for about in QUESTIONS:
        assert "+1" not in asked(session, "bea", about=about).replace("+1 more", "").replace("+10: text MORE", "")
    here = scene(session)
    writing = here.ledger.enter("test", here.told)
    writing.put(type(here.actor), {"id": here.actor.id}, name="Walt Whittaker")
    assert "Whittaker" not in asked(session, "bea", about="roster", period="today")


def test_a_reading_is_told_with_when_and_by_whom_and_how_it_lies(session):
    tell(session, Reading(measure="ph", value=6.9, where="main"))
    assert asked(session, about="reading", measure="ph", where="main") == (
        "pH 6.9 main today 9:10am (Walt), HIGH: 6.3 or less is wanted."
    )


def test_a_reading_of_another_day_is_that_days_last(session):
    tell(session, Reading(measure="ph", value=5.9, where="main"), at=NOW - timedelta(hours=20))
    tell(session, Reading(measure="ph", value=6.9, where="main"))
    assert "pH 5.9" in asked(session, about="reading", measure="ph", where="main", date=date(2026, 5, 3))
    assert asked(session, about="reading", measure="ph", where="main", date=date(2026, 4, 1)).startswith("No reading")


def test_air_one_should_not_breathe_comes_with_a_warning(session):
    tell(session, Reading(measure="co2", value=6200, where="room"))
    assert asked(session, about="reading", measure="co2").endswith(
        "Too much CO2 to stay: leave, door open, call a lead."
    )


def test_what_was_cut_counts_the_days_asked_about(session):
    assert asked(session, about="harvest", crop="oakleaf", period="today") == "No cut of oakleaf today in the books."
    tell(session, Harvest(crop="oakleaf", count=7, places=("C1",)))
    assert asked(session, about="harvest", crop="oakleaf", period="today") == "Cut today: 7 oakleaf."


def test_what_was_only_weighed_is_told_beside_what_was_counted(session):
    tell(session, Harvest(crop="mint", count=7, places=("F1",)))
    tell(session, Harvest(crop="mint", weight_g=907.184, places=("F1",)))
    assert asked(session, about="harvest", crop="mint", period="today") == "Cut today: 7 bunches mint, 2 lb mint."


def test_what_was_given_away_is_added_up(session):
    tell(session, Gave(to="kitchen", crop="mint", count=4))
    tell(session, Gave(to="school", crop="mint", count=3))
    assert asked(session, about="given", crop="mint", period="today") == "Given today: 7 bunches mint."


def test_a_tower_says_what_stands_in_it_and_when_it_is_cut(session):
    assert asked(session, about="place", place="A1") == "In A1: 8 butterhead, to cut today."


def test_a_tower_emptied_and_cleaned_says_so(session):
    tell(session, Harvest(crop="butterhead", count=8, places=("A1",)))
    assert asked(session, about="place", place="A1") == "A1 is empty, to clean."
    tell(session, Clean(places=("A1",), what="towers"))
    assert asked(session, about="place", place="A1") == "A1 is empty and clean."


def test_a_tower_that_is_not_there_is_refused(session):
    with pytest.raises(Refused, match="no_such_place"):
        ask(session, about="place", place="Z9")


def test_what_is_ready_is_what_stands_and_is_due(session):
    here = scene(session)
    (romaine,) = [one for one in _ripe(session) if one.values["crop"] == "romaine"]
    standing = growing.standing(here.ledger, romaine.values["places"], "romaine")
    assert romaine.values["plants"] == sum(stand.plants for stand, _ in standing)
    tell(session, Harvest(crop="romaine", count=romaine.values["plants"], places=romaine.values["places"]))
    assert "romaine" not in [one.values["crop"] for one in _ripe(session)]


def test_plants_of_which_nobody_said_where_they_stand_become_ready_like_the_others(session):
    tell(session, Move(crop="oakleaf", count=16, to=("towers",)))
    in_time = NOW + timedelta(days=90)
    (oakleaf,) = ask(session, at=in_time, about="ready", crop="oakleaf").facts[0].values["crops"]
    assert "towers" in oakleaf.values["places"]


def _ripe(session) -> tuple[Fact, ...]:
    return ask(session, about="ready").facts[0].values["crops"]


def test_a_crop_that_is_not_ready_says_when_it_will_be(session):
    said = asked(session, about="ready", crop="oakleaf")
    assert said.startswith("Next oakleaf: Wed May 6, C")


def test_a_supply_is_told_with_its_unit_and_whether_it_is_low(session):
    tell(session, Stock(item="gloves", state="have", amount=2))
    assert asked(session, about="stock", item="gloves") == "gloves: 2 boxes (low)."
    tell(session, Stock(item="gloves", state="have", amount=9))
    assert asked(session, about="stock", item="gloves") == "gloves: 9 boxes."
    tell(session, Stock(item="gloves", state="out"))
    assert asked(session, about="stock", item="gloves") == "gloves: 0 boxes (out)."


def test_everything_low_is_named_where_nothing_is_asked_for(session):
    assert asked(session, about="stock") == "Low: gloves, pH down, kale seed."


def test_a_volunteer_hears_their_own_hours_only(session):
    tell(session, Hours(minutes=90, date=TODAY), "bea")
    tell(session, Hours(minutes=600, date=TODAY), "walt")
    assert asked(session, "bea", about="hours", period="today") == "You worked 1 h 30 min today."


def test_a_coordinator_hears_the_crews_total_besides(session):
    tell(session, Hours(minutes=90, date=TODAY), "bea")
    tell(session, Hours(minutes=600, date=TODAY), "walt")
    assert asked(session, "priya", about="hours", period="today") == (
        "The crew worked 11 h 30 min today, 2 people. You worked 0 min today."
    )


def test_the_plan_says_what_to_sow_and_what_will_be_short(session):
    said = asked(session, "priya", about="plan")
    assert said.startswith("Sow this week: butterhead 0.75 trays, ")
    assert "Next short: " in said


def test_help_is_what_one_may_do(session):
    assert asked(session, "bea", about="help") != asked(session, "priya", about="help")
    assert asked(session, "bea") == asked(session, "bea", about="help")
