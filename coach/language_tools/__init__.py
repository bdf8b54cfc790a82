"""For translators and their catalogues: takes the texts out of code, screens and procedures, and keeps locale/ in step.

Run as `python -m coach.language_tools`. Nothing here runs while the app is used.
"""
