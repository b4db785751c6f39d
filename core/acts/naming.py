"""What the crew calls things: a new name for something of the farm, and taking one back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.ledger import Ledger
from core.books.tables import Alias
from core.errors import Refused
from core.outcome import Outcome, fact
from core.vocabulary import Vocabulary

SHORTEST = 3
"""Letters of a name: shorter ones are in too many words. Common practice, no source."""


def things(vocabulary: Vocabulary) -> Iterator[tuple[str, str, str]]:
    """Everything that has names: family, slug, and one way to write it."""
    families = {
        "crop": {slug: crop.names for slug, crop in vocabulary.crops.items()},
        "tank": vocabulary.tanks,
        "recipient": vocabulary.recipients,
        "supply": vocabulary.supplies,
    }
    for family, named in families.items():
        for slug, names in named.items():
            yield from ((family, slug, way.casefold()) for ways in names.values() for way in (slug, *ways))


def aliases(ledger: Ledger) -> Sequence[Alias]:
    """All that the crew calls things, in the order of the alphabet."""
    query = select(Alias).where(Alias.farm_id == ledger.farm_id).order_by(col(Alias.phrase))
    return ledger.session.exec(query).all()


def name_thing(phrase: str, meaning: str, scene: Scene) -> Outcome:
    """From now on `phrase` is the thing that `meaning` names.

    Raises:
        Refused: "not_allowed_lead" to volunteers; "no_such_thing" where nothing is called that; "name_taken" where the
            phrase is a name already; "name_unfit" where it is too short or holds more than letters.
    """
    scene.require("name")
    phrase, meaning = " ".join(phrase.casefold().split()), " ".join(meaning.casefold().split())
    known = {way: (family, slug) for family, slug, way in things(scene.vocabulary)}
    if meaning not in known:
        raise Refused("no_such_thing", name=meaning)
    if phrase in known:
        raise Refused("name_taken", name=phrase)
    if len(phrase) < SHORTEST or not all(letter.isalpha() or letter == " " for letter in phrase):
        raise Refused("name_unfit", name=phrase)
    family, slug = known[meaning]
    writing = scene.ledger.enter("name", scene.told)
    writing.record(Alias, phrase=phrase, family=family, slug=slug)
    return Outcome((fact("named", name=phrase, meaning=meaning),), entry=writing.n)


def unname(phrase: str, scene: Scene) -> Outcome:
    """The phrase means nothing any more.

    Raises:
        Refused: "not_allowed_lead" to volunteers; "no_such_thing" where it is no alias.
    """
    scene.require("name")
    phrase = " ".join(phrase.casefold().split())
    if scene.ledger.session.get(Alias, (scene.ledger.farm_id, phrase)) is None:
        raise Refused("no_such_thing", name=phrase)
    named = scene.ledger.wrote("alias", phrase)
    writing = scene.ledger.reverse(named, scene.told)
    return Outcome((fact("unnamed", name=phrase),), entry=writing.n)
