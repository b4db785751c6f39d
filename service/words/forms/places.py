"""Places, as codes with runs drawn together, and tanks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.vocabulary import PLACE_CODE
from service.words.forms.manner import Manner
from service.words.forms.things import named


def places(manner: Manner, codes: Sequence[str]) -> str:
    """Codes with runs drawn together: A1, A2, A3, B7 is "A1-A3, B7"."""
    return ", ".join(_runs(manner, codes))


def _runs(manner: Manner, codes: Sequence[str]) -> Iterable[str]:
    run: list[str] = []
    for code in codes:
        if run and _follows(run[-1], code):
            run.append(code)
            continue
        yield from _run(manner, run)
        run = [code]
    yield from _run(manner, run)


def _run(manner: Manner, run: list[str]) -> Iterable[str]:
    if len(run) > 2:
        yield f"{place(manner, run[0])}-{place(manner, run[-1])}"
    else:
        yield from (place(manner, code) for code in run)


def _follows(before: str, after: str) -> bool:
    first, second = PLACE_CODE.fullmatch(before), PLACE_CODE.fullmatch(after)
    return bool(first and second and first[1] == second[1] and int(second[2]) == int(first[2]) + 1)


def place(manner: Manner, code: str) -> str:
    """One place: a tower or bed by its code, a shelf, the cover or a tank by its word."""
    match = PLACE_CODE.fullmatch(code)
    if match and len(match[1]) > 1:  # "BED2" is said as its kind and number
        return f"{manner.term(manner.vocabulary.kind(code))} {match[2]}"
    if match:
        return code
    if code in manner.vocabulary.tanks:
        return tank(manner, code)
    if code in manner.vocabulary.shelves:
        return f"{manner.term('shelf')} {code.removeprefix('shelf')}"
    return manner.term(code)


def tank(manner: Manner, slug: str) -> str:
    """A tank, or the room."""
    return manner.term(slug) if slug == "room" else named(manner, manner.vocabulary.tanks.get(slug, {}), slug)


def tanks(manner: Manner, slugs: Sequence[str]) -> str:
    """Several tanks."""
    return ", ".join(tank(manner, slug) for slug in slugs)


def tanks_or(manner: Manner, slugs: Sequence[str]) -> str:
    """Tanks to choose from."""
    return f" {manner.term('or')} ".join(tank(manner, slug) for slug in slugs)
