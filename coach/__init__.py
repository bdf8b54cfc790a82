"""Coach: a winter covering procedure, its safety gate for open flame, and the signed record of it."""

__version__ = "0.1.0"
