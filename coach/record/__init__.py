"""The record: jobs as signed chains of entries on disk, and their way to other devices.

Files and databases are here, and nothing of the kernel's rules.
"""
