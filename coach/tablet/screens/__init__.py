"""The pages of the tablet app: each a function from the shell to a widget, drawing a view and sending actions.

Pages are put together in Python from the widgets next door, since almost everything on them depends on the boat; the
widgets themselves are pairs of .py and .kv.
"""
