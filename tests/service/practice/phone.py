"""Texting as somebody over HTTP, and looking into the books after it."""

from sqlmodel import select

HARVEST = "picked 14 romaine from B1 and B2, 2 culled"


def text(phone, sender, words, **fields):
    return phone.post("/practice/texts", json={"from": sender, "text": words, **fields})


def rows(app, table):
    with app.state.books.read() as session:
        return [row.model_dump() for row in session.exec(select(table)).all()]
