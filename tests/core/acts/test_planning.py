"""The sowing plan of the demo farm: asked for, kept, followed by the day's sowing, and made anew each week."""

from datetime import date, timedelta

import pytest

from core.acts import carry_out
from core.acts.daily import make_tasks
from core.acts.planning import make_plan, problem_of, renew_plan
from core.books import planning, tasks
from core.books.ledger import Told
from core.notes import Ask, Closed, Sow, WhatIf
from tests.demo_farm import NOW, scene

TODAY = date(2026, 5, 4)


@pytest.fixture
def on(demo_books):
    with demo_books.write() as session:
        yield scene(session, "priya")


def kinds(outcome):
    return [one.kind for one in outcome.facts]


def test_the_books_are_taken_as_they_are(on):
    problem = problem_of(on.ledger, on.vocabulary, TODAY)
    assert (problem.room.cover_cells[0], problem.room.shelf_cells[0]) == (8 * 72, 4 * 4 * 72)
    assert problem.room.tower_sites[0] == (144 - 2) * 8  # two towers are out of use
    assert {one.slug for one in problem.crops} == set(tasks.targets(on.ledger))


def test_the_plan_says_what_to_sow_and_what_is_short(on):
    assert kinds(carry_out(Ask(about="plan"), on)) == ["plan_sow", "plan_too_late"]


def test_asking_again_gives_the_same_plan(on):
    first, second = (carry_out(Ask(about="plan"), on).facts for _ in range(2))
    assert first[0] == second[0]


def test_the_plan_of_one_crop_names_its_next_sowings(on):
    (answer,) = carry_out(Ask(about="plan", crop="butterhead"), on).facts
    assert answer.kind == "plan_of_crop"
    assert answer.values["weeks"][0].values["day"] == TODAY


def test_without_a_plan_the_days_sowing_goes_by_the_rule_of_thumb_and_then_by_the_plan(on):
    by_thumb = tasks.to_sow(on.ledger, TODAY)
    _, made = make_plan(on.ledger, on.vocabulary, TODAY)
    assert tasks.to_sow(on.ledger, TODAY) == {crop: row[0] for crop, row in made.sow.items() if row[0]} != by_thumb


def test_what_is_sown_is_off_the_plan_of_the_week(on):
    make_plan(on.ledger, on.vocabulary, TODAY)
    wanted = tasks.to_sow(on.ledger, TODAY)["butterhead"]
    carry_out(Sow(crop="butterhead", count=wanted), on)
    assert "butterhead" not in tasks.to_sow(on.ledger, TODAY)
    make_plan(on.ledger, on.vocabulary, TODAY)
    assert tasks.to_sow(on.ledger, TODAY).get("butterhead", 0) < wanted


def test_a_farm_with_a_plan_gets_a_new_one_with_the_tasks_of_a_new_week(on):
    monday = TODAY + timedelta(weeks=1)
    renew_plan(on.ledger, on.vocabulary, monday)
    assert planning.kept_plan(on.ledger, monday) is None
    make_plan(on.ledger, on.vocabulary, TODAY)
    make_tasks(on.ledger, monday, Told(None, NOW, NOW))
    assert planning.kept_plan(on.ledger, monday).day == monday


def test_a_plan_that_has_run_out_is_none(on):
    make_plan(on.ledger, on.vocabulary, TODAY)
    assert planning.kept_plan(on.ledger, TODAY + timedelta(weeks=26)) is None


def test_a_week_of_closed_days_is_a_closed_week(on):
    for day in range(7):
        carry_out(Closed(date=TODAY + timedelta(days=7 + day)), on.confirmed())
    assert problem_of(on.ledger, on.vocabulary, TODAY).closed == {1}


@pytest.mark.parametrize(
    ("note", "effect"),
    [
        (WhatIf(change="lost", places=("A1", "A2", "A3")), "effect_short"),
        (WhatIf(change="lost", crop="kale"), "effect_short"),
        (WhatIf(change="closed", first=TODAY + timedelta(weeks=1)), "effect_short"),
        (WhatIf(change="times", crop="kale", times=2.0), "effect_short"),
        (WhatIf(change="new", name="20 basil a week", count=20), "effect_short"),
    ],
)
def test_a_change_is_told_by_its_difference(on, note, effect):
    (answer,) = carry_out(note, on).facts
    assert answer.kind == "what_if"
    assert effect in [one.kind for one in answer.values["effects"]]


@pytest.mark.parametrize(
    "note",
    [WhatIf(), WhatIf(change="new", name="moon cheese"), WhatIf(change="new", name="kale"), WhatIf(change="out")],
)
def test_what_cannot_be_supposed_is_answered_with_how_to_ask(on, note):
    assert kinds(carry_out(note, on)) == ["what_if_how"]


def test_nothing_of_a_plan_or_a_question_is_in_the_journal(on):
    before = on.ledger.rebuilt()
    carry_out(Ask(about="plan"), on)
    carry_out(WhatIf(change="lost", crop="kale"), on)
    assert on.ledger.rebuilt() == before
    assert on.ledger.differences() == []
