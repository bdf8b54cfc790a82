"""Loads the .kv file that stands beside a widget's .py file, once."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder


def load(module_file: str) -> None:
    """Read the .kv of the same name; call it as `load(__file__)` at the top of a widget's module."""
    path = str(Path(module_file).with_suffix(".kv"))
    if path not in Builder.files:
        Builder.load_file(path, encoding="utf-8")
