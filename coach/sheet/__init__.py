"""Sheets for people: the checklist and the load list as HTML that needs nothing but a browser."""
