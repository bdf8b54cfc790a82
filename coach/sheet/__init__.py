"""Sheets for people: the checklist, the load list and their pictures, as HTML that stands by itself."""
