from service.board.kept import Kept


def test_a_value_is_made_once_for_its_key():
    kept, made = Kept(), []
    for key in ("a", "a", "b"):
        kept.get(key, lambda key=key: made.append(key))
    assert made == ["a", "b"]


def test_nothing_is_still_a_value():
    kept, made = Kept(), []
    for _ in range(2):
        assert kept.get("a", lambda: made.append(1)) is None
    assert made == [1]


def test_the_value_looked_at_longest_ago_makes_room():
    kept, made = Kept(most=2), []
    for key in ("a", "b", "a", "c", "a", "b"):
        kept.get(key, lambda key=key: made.append(key))
    assert made == ["a", "b", "c", "b"]
