"""Readings that come by other ways than words: over HTTP with a key, from a file, from a broker of messages.

Each way only makes `Raw` readings of what came; `core.acts.equipment` judges and keeps them.
"""
