"""The pure heart: quantities, formulas, the model of a procedure, the kernel of a job, its monitor, its byte form.

Nothing here reads a file, a clock or a random source, and nothing here knows a toolkit or a database.
"""
