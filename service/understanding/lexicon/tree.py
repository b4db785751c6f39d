"""Phrases as a tree, word after word, and one that shares all but a few branches with another."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Node:
    """One word further into a phrase: what the phrase means if it ends here, and what may follow."""

    meanings: dict[str, str] = field(default_factory=dict)
    next: dict[str, Node] = field(default_factory=dict)

    def put(self, words: list[str], family: str, meaning: str) -> None:
        """A phrase; where it has a meaning of that family already, it keeps it."""
        node = self
        for word in words:
            node = node.next.setdefault(word, Node())
        node.meanings.setdefault(family, meaning)


class Graft:
    """A tree of phrases that shares all but the grafted branches with the one it grew from."""

    def __init__(self, stock: Node) -> None:
        self.root = Node(stock.meanings, dict(stock.next))
        self._grown: dict[int, tuple[Node, dict[str, str]]] = {}

    def put(self, words: list[str], family: str, meaning: str) -> None:
        """A phrase; what it means here comes before what it means in a language, the first meaning before a second."""
        node = self.root
        for word in words:
            node.next[word] = node = self._own(node.next.get(word))
        _, grafted = self._grown[id(node)]
        grafted.setdefault(family, meaning)
        node.meanings = grafted | {one: said for one, said in node.meanings.items() if one not in grafted}

    def _own(self, node: Node | None) -> Node:
        if node is not None and id(node) in self._grown:
            return node
        copied = Node(dict(node.meanings), dict(node.next)) if node else Node()
        self._grown[id(copied)] = (copied, {})
        return copied
