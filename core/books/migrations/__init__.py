"""The database's history: one revision a change, run in order by `rowcall migrate`."""
