"""What is supposed is a question about the plan, and never a record."""

from datetime import date

import pytest

from core.notes import WhatIf

JUNE = {"first": date(2026, 6, 1), "last": date(2026, 6, 30)}
NEXT_WEEK = {"first": date(2026, 5, 11), "last": date(2026, 5, 17)}


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("what if row C is out next month", WhatIf(change="out", row="C", **JUNE)),
        ("What if C1-C3 are out?", WhatIf(change="out", places=("C1", "C2", "C3"))),
        ("que pasa si la fila C no sirve el mes que viene?", WhatIf(change="out", row="C", **JUNE)),
        ("hi, what if we lose the romaine on B1 and B2", WhatIf(change="lost", crop="romaine", places=("B1", "B2"))),
        ("y si perdemos el kale", WhatIf(change="lost", crop="kale")),
        ("what if we close next week", WhatIf(change="closed", **NEXT_WEEK)),
        ("y si cerramos la semana que viene", WhatIf(change="closed", **NEXT_WEEK)),
        ("what if we double the kale?", WhatIf(change="times", crop="kale", times=2.0)),
        ("what would happen if we halve the romaine", WhatIf(change="times", crop="romaine", times=0.5)),
        ("what if we grow 20 basil a week", WhatIf(change="new", name="20 basil a week", count=20.0)),
        ("what if", WhatIf()),
        ("what if the moon falls down", WhatIf()),
    ],
)
def test_a_supposition_is_read_as_one(read, text, note):
    reading = read(text)
    assert (reading.verdict, reading.notes) == ("answer", (note,))


@pytest.mark.parametrize(
    "text", ["y si, ahi estare", "y si puedo el sabado", "picked 12 kale, what if anything is left"]
)
def test_other_words_that_begin_so_suppose_nothing(read, text):
    assert not any(isinstance(one, WhatIf) for one in read(text).notes)
