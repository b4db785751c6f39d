"""Keeping and letting go: backups, exports, erasing a person, and texts that are kept no longer than they need be."""
