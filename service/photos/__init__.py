"""Photos that come with texts: fetched from the carrier's own host, checked, written anew without place, and kept.

They are kept in the books' database, so that both engines, backup, move and erasing hold for them as for the rest.
"""
