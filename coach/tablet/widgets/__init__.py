"""The building blocks of the screens: one .py and one .kv of the same name each, plain properties in, events out."""
