"""The reader: YAML text, written by a person or by an enemy, to a procedure of coach.core.model.

`load` finds the files, `text` and `nodes` make a tree with places from bytes, `schema` and its neighbours make the
model from the tree, and `faults` gathers everything that is wrong on the way. It imports core and nothing else of ours.
"""
