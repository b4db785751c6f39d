"""Shifts as iCalendar (RFC 5545): each person's own and the farm's, for the calendar on a phone or a wall."""
