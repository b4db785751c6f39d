"""Papers people take home: the letter that says how many hours somebody gave."""
