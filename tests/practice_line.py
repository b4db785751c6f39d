"""The practice line of a farm for tests: says things as its people and gathers what comes of it."""

from itertools import count

from sqlmodel import select

from core.books.tables import Cut, Farm, Person
from service import inbox
from service.carriers import TextIn
from service.conversation import Conversation
from service.tables import Outbound, Proof
from tests.demo_farm import FARM, NOW

CONVERSATION = Conversation()
"""One for all lines, as in the service: it keeps the word tables of a farm, which take longer to build than a text."""


class Line:
    """The practice line of a farm: says things as its people, at the time the dialogue has set."""

    def __init__(self, books):
        self.books = books
        self.now = NOW
        self.numbers = count(1)
        self.conversation = CONVERSATION

    def text(self, who, body):
        """What the sender is answered, and what others are told: [(handle, text)].

        "(code)" stands for the code last sent to the sender, in the body and in the answer.
        """
        body = body.replace("(code)", self.code(who))
        with self.books.write() as session:
            farm = session.get_one(Farm, FARM)
            phone = session.exec(select(Person.phone).where(Person.handle == who)).first() or who
            said = TextIn("practice", f"d{next(self.numbers)}", farm.phone, phone, body)
            stored, _ = inbox.receive(session, farm, said, self.now)
        inbox.finish(self.books, FARM, stored.id, self.conversation, self.now)
        with self.books.read() as session:
            sent = session.exec(select(Outbound).where(Outbound.created_at == self.now).order_by(Outbound.id)).all()
            handles = {one.id: one.handle for one in session.exec(select(Person))}
            reply = [one.body for one in sent if one.reply_to == stored.id]
            news = [(handles[one.person_id], one.body) for one in sent if stored.id in one.key and not one.reply_to]
        code = self.code(who)
        return (reply[0].replace(code, "(code)") if reply and code else "".join(reply[:1])), news

    def code(self, who):
        """The code that a person's phone was sent and has not used; "" where there is none."""
        with self.books.read() as session:
            theirs = select(Proof.code).join(Person, Person.id == Proof.person_id).where(Person.handle == who)
            return session.exec(theirs.where(Proof.farm_id == FARM, Person.farm_id == FARM)).first() or ""

    def command(self, who, body):
        """A command that wants a code, and the code."""
        self.text(who, body)
        return self.text(who, "(code)")


def rows(line, table, *where):
    with line.books.read() as session:
        return session.exec(select(table).where(*where)).all()


def recorded(line, table=Cut):
    """What was written since the demo farm was opened."""
    return rows(line, table, table.entry > 1)
