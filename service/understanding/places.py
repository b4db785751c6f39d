"""Places: tower codes in every form people write them, shelves, the cover, and towers named without their row."""

from __future__ import annotations

from service.understanding.sheet import Sheet

MOST = 48
"""The longest range of towers that is taken as meant."""


def mark_places(sheet: Sheet) -> None:
    """Mark places (a tuple of codes), and as `rowless` towers that lack their row; the tokens count as taken."""
    index = 0
    while index < len(sheet.tokens):
        index = next((end for read in READERS if (end := read(sheet, index))), index + 1)
    for span in sheet.marks.get("thing", ()):
        if span.value == "dome" and not _takes(sheet, span.start, span.end):
            sheet.mark("place", span.start, span.end, (sheet.vocabulary.cover,))


def _packet(sheet: Sheet, index: int) -> int | None:
    """The end of the lot of a seed packet: no place, whatever it looks like."""
    packet = sheet.at("packet", index)
    return packet.end if packet else None


def _of_kind(sheet: Sheet, index: int) -> int | None:
    """ "bed 2", "rafts 1-3": places by kind and number, where the farm has one row of that kind."""
    named = sheet.at("placekind", index)
    rows = [row for row, kind in sheet.vocabulary.row_kinds.items() if named and kind == named.value]
    first = _whole(sheet, named.end, words=True) if named and len(rows) == 1 else None
    if named is None or first is None:
        return None
    numbers, end = _numbers_on(sheet, *first, most=sheet.vocabulary.tower_rows.get(rows[0], 0))
    codes = tuple(f"{rows[0]}{one}" for one in numbers)
    good = tuple(one for one in codes if sheet.vocabulary.is_tower(one))
    sheet.unknown.extend(one for one in codes if one not in good)
    _take(sheet, index, end)
    sheet.mark("place" if good else "badplace", index, end, good or codes)
    return end


def _takes(sheet: Sheet, start: int, end: int) -> bool:
    return any(one in sheet.taken for one in range(start, end))


def _take(sheet: Sheet, start: int, end: int) -> None:
    sheet.taken.update(range(start, end))


def _towers_from(sheet: Sheet, index: int) -> int | None:
    """The end of a list of towers that begins here, marked; None when none does."""
    start = index
    named = sheet.at("thing", index)
    named = named if named and named.value in ("tower", "row") else sheet.at("placekind", index)
    if named:
        index = named.end
        if sheet.is_mark(index, "#"):
            index += 1
    spoken = named is not None or _said_letter(sheet, index) or _dictated(sheet, index)
    read = _code(sheet, index, spoken)
    if read is None:
        return None
    row, number, end = read
    codes, end = _and_more(sheet, row, number, end, spoken)
    good = tuple(dict.fromkeys(one for one in codes if sheet.vocabulary.is_tower(one)))
    sheet.unknown.extend(one for one in codes if one not in good)
    _take(sheet, start, end)
    sheet.mark("place" if good else "badplace", start, end, good or tuple(codes))
    return end


def _said_letter(sheet: Sheet, index: int) -> bool:
    """ "la efe 3": a letter called by its name after an article, with digits behind it."""
    letter = sheet.at("letter", index)
    article = index > 0 and sheet.within(index - 1, "word.article", "join.and")
    return letter is not None and len(sheet.words[index]) > 2 and article and sheet.number_like(index + 1)


def _dictated(sheet: Sheet, index: int) -> bool:
    """ "from sea four", "B ten", "E as in echo twelve": a letter with a number in words behind it that counts nothing.

    Only a capital other than A needs nothing before it; any other letter follows a crop or a word for where.
    """
    letter = sheet.words[index]
    if (len(letter) == 1 and letter.upper() not in sheet.vocabulary.tower_rows) or sheet.within(index, "measure"):
        return False
    at = _spelled(sheet, index)
    if len(letter) == 1 and at > index + 1:
        return _whole(sheet, at, words=True) is not None
    number = _whole(sheet, at, words=True) if sheet.at("number", at) else None
    if number is None or _counts_something(sheet, number[1]) or _goes_on_as_number(sheet, number[1]):
        return False
    where = sheet.within(index - 1, "join.from", "join.to") or sheet.before("crop", index) is not None
    token = sheet.tokens[index]
    capital = len(letter) == 1 and letter != "a" and sheet.text[token.start].isupper() and not sheet.text.isupper()
    return (index > 0 and where) or capital


def _goes_on_as_number(sheet: Sheet, index: int) -> bool:
    glue = sheet.at("glue", index)
    return sheet.at("scale", index) is not None or (glue is not None and glue.value == "point")


def _spelled(sheet: Sheet, index: int) -> int:
    """Where the number of a row letter is looked for: after the word that spells it ("E as in echo"), if any."""
    spelling = sheet.at("word.spelling", index + 1)
    if spelling is None or spelling.end >= len(sheet.words):
        return index + 1
    return spelling.end + 1 if sheet.words[spelling.end].startswith(sheet.words[index][0]) else index + 1


def _code(sheet: Sheet, index: int, spoken: bool) -> tuple[str, int, int] | None:
    """A row letter and a number: (row, number, end). Said aloud ("sea ten") only after the word for a tower."""
    if index + 1 >= len(sheet.tokens):
        return None
    row = _row(sheet, index, spoken)
    if row is None or (sheet.tokens[index].glued and sheet.number_like(index - 1)):  # "1h50"
        return None
    at = _spelled(sheet, index) if spoken else index + 1
    word = sheet.at("thing", at + sheet.is_mark(at, ",", ":"))
    if spoken and word and word.value == "tower":
        at = word.end
    number = _whole(sheet, at, words=spoken)
    if number is None:
        return None
    value, end = number
    glued = sheet.tokens[at].glued
    if not (glued or spoken or _stands_apart(sheet, index, end)):
        return None
    if glued and row not in sheet.vocabulary.tower_rows and not (spoken or row in "GHZXY" or value > 24):
        return None
    return row, value, end


def _row(sheet: Sheet, index: int, spoken: bool) -> str | None:
    word = sheet.words[index]
    if len(word) == 1 and word.isalpha():
        return word.upper()
    said = sheet.at("letter", index)
    return said.value.upper() if spoken and said else None


def _stands_apart(sheet: Sheet, index: int, end: int) -> bool:
    """A letter and a number with a space between ("D 4") are a place when no unit follows; "a 4" only as a capital."""
    token = sheet.tokens[index]
    capital = sheet.text[token.start : token.end].isupper()
    shouted = sheet.text.isupper()
    row = sheet.words[index].upper() in sheet.vocabulary.tower_rows
    small = sheet.at("plain", index) is not None
    if not row or _counts_something(sheet, end) or sheet.before("supply", index + 1) or _is_nutrient(sheet, index):
        return False
    return (capital and not shouted and not (small and index == 0)) or not small


def _is_nutrient(sheet: Sheet, index: int) -> bool:
    before = sheet.before("thing", index)
    return before is not None and before.value == "nutrient"


def _counts_something(sheet: Sheet, end: int) -> bool:
    return sheet.at("unit", end) is not None or sheet.at("crop", end) is not None


def _whole(sheet: Sheet, index: int, words: bool = False) -> tuple[int, int] | None:
    """A whole number of at most three digits here, in digits or (where allowed) in words."""
    if index >= len(sheet.tokens):
        return None
    token = sheet.tokens[index]
    if token.kind == "number":
        return (int(token.text), index + 1) if token.text.isdigit() and len(token.text) <= 3 else None
    said = sheet.at("number", index) if words else None
    if said is None:
        return None
    value, end = int(said.value), said.end
    ones = sheet.at("number", end)
    if value == 20 and ones and 0 < int(ones.value) < 5:
        return value + int(ones.value), ones.end
    return value, end


def _and_more(sheet: Sheet, row: str, number: int, end: int, spoken: bool) -> tuple[list[str], int]:
    """The codes that follow on the first: ranges ("A1-A4", "b3-7") and lists ("A1, A2 & 3")."""
    codes = [f"{row}{number}"]
    while True:
        step = _range_on(sheet, row, number, end, spoken) or _list_on(sheet, row, number, end, spoken)
        if step is None:
            return codes, end
        more, row, number, end = step
        codes.extend(more)


Step = tuple[list[str], str, int, int]


def _range_on(sheet: Sheet, row: str, number: int, end: int, spoken: bool) -> Step | None:
    joint = sheet.at("join.range", end)
    after = _next_code(sheet, row, joint.end, loose=True, spoken=spoken) if joint else None
    if after is None:
        return None
    last_row, last, stop = after
    if last_row == row and number < last <= number + MOST:
        return [f"{row}{one}" for one in range(number + 1, last + 1)], row, last, stop
    size = sheet.vocabulary.tower_rows.get(row, 0)
    if ord(last_row) == ord(row) + 1 and number <= size:
        rest = [f"{row}{one}" for one in range(number + 1, size + 1)]
        return [*rest, *(f"{last_row}{one}" for one in range(1, last + 1))], last_row, last, stop
    return None


def _list_on(sheet: Sheet, row: str, number: int, end: int, spoken: bool) -> Step | None:
    at, loose = end, False
    while sheet.is_mark(at, ",", "&", "/", "+") or _joins(sheet, at):
        loose = loose or not sheet.is_mark(at, ",")
        at += 1
        if at - end > 2:
            return None
    thing = sheet.at("thing", at)
    if thing and thing.value == "tower":
        at = thing.end
    glued = at > end and at < len(sheet.tokens) and sheet.tokens[at].glued
    in_line = _next_in_line(sheet, number, at, spoken)
    after = _next_code(
        sheet, row, at, loose=(loose or glued or in_line) and at > end, spoken=spoken and (loose or in_line)
    )
    if after is None or (after[2] == at + 1 and not _goes_on(sheet, number, after)):
        return None
    last_row, last, stop = after
    return [f"{last_row}{last}"], last_row, last, stop


def _joins(sheet: Sheet, index: int) -> bool:
    """Whether a token is a plain "and", which also joins the parts of a number."""
    glue = sheet.at("glue", index)
    return glue is not None and glue.value == "and"


def _goes_on(sheet: Sheet, number: int, after: tuple[str, int, int]) -> bool:
    """Whether a bare number after a code goes on with its row: it is higher, and counts no more or lost ones."""
    end = after[2]
    counts = any(sheet.at(one, end) for one in ("adjective", "cull", "act.loss", "join.of", "word.article"))
    return after[1] > number and not counts and not (sheet.at("join.from", end) and _names_place(sheet, end + 1))


def _names_place(sheet: Sheet, index: int) -> bool:
    """Whether a code stands here, an article aside."""
    at = index + sheet.within(index, "word.article", "join.from")
    return _code(sheet, at, spoken=False) is not None


def _next_in_line(sheet: Sheet, number: int, at: int, spoken: bool) -> bool:
    after = _whole(sheet, at, words=spoken)
    return after is not None and after[0] == number + 1


def _next_code(sheet: Sheet, row: str, index: int, loose: bool, spoken: bool = False) -> tuple[str, int, int] | None:
    """The next code of a list: a letter and a number, or (when loose) a number alone that counts nothing."""
    if sheet.within(index, "word.article"):
        index += 1
    thing = sheet.at("thing", index)
    if thing is not None and thing.value == "tower":
        index, spoken = thing.end, True
    read = _code(sheet, index, spoken)
    if read is not None:
        return read if not _counts_something(sheet, read[2]) or sheet.tokens[index + 1].glued else None
    number = _whole(sheet, index, words=spoken) if loose else None
    if number is None or _counts_something(sheet, number[1]) or not 1 <= number[0] <= 24:
        return None
    return row, number[0], number[1]


def _shelves_from(sheet: Sheet, index: int) -> int | None:
    named = sheet.at("thing", index)
    if named is None or named.value != "shelf":
        return None
    at = named.end
    if sheet.at("numbered", at):
        at += 1
    first = _whole(sheet, at, words=True)
    if first is None:
        return _ordinal_shelf(sheet, index, named.end)
    numbers, end = _numbers_on(sheet, *first, most=len(sheet.vocabulary.shelves))
    codes = tuple(f"shelf{one}" for one in numbers)
    good = tuple(one for one in codes if one in sheet.vocabulary.shelves)
    sheet.unknown.extend(one for one in codes if one not in good)
    _take(sheet, index, end)
    sheet.mark("place" if good else "badplace", index, end, good or codes)
    return end


def _numbers_on(sheet: Sheet, number: int, end: int, most: int) -> tuple[list[int], int]:
    """The numbers of a list ("2 and 3", "1-4") and where it ends; none is above `most`."""
    numbers = [number]
    while sheet.is_mark(end, "&", "-", ",", "/", "+") or _joins(sheet, end) or sheet.within(end, "join.range"):
        after = _whole(sheet, end + 1, words=True)
        if after is None or _counts_something(sheet, after[1]) or not 1 <= after[0] <= most:
            break
        ranged = sheet.within(end, "join.range") and after[0] > numbers[-1]
        numbers.extend(range(numbers[-1] + 1, after[0] + 1) if ranged else [after[0]])
        end = after[1]
    return numbers, end


def _ordinal_shelf(sheet: Sheet, index: int, end: int) -> int | None:
    """ "second shelf", "2nd shelf", "la segunda repisa"."""
    said = sheet.before("ordinal", index)
    if said is None:
        return None
    code = f"shelf{said.value}"
    if code not in sheet.vocabulary.shelves:
        return None
    _take(sheet, said.start, end)
    sheet.mark("place", said.start, end, (code,))
    return end


def _rowless(sheet: Sheet, index: int) -> int | None:
    """ "tower 7", "row C": a tower that lacks half of its code."""
    named = sheet.at("thing", index)
    if named is None or named.value not in ("tower", "row"):
        return None
    at = named.end
    if sheet.at("numbered", at):
        at += 1
    number = _whole(sheet, at, words=True)
    if number is not None and not _counts_something(sheet, number[1]):
        end = number[1]
    elif at < len(sheet.words) and named.value == "row" and sheet.words[at].upper() in sheet.vocabulary.tower_rows:
        end = at + 1
    else:
        return None
    _take(sheet, index, end)
    sheet.mark("rowless", index, end, sheet.words[at])
    return end


READERS = (_packet, _of_kind, _towers_from, _shelves_from, _rowless)
"""What may begin at a token, the surest first; each marks it and answers where it ends."""
