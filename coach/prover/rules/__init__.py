"""One rule of lint a file; each has one function, look(procedure, surroundings), that gives problems."""
