"""Practice that is remembered: the record, what is due, progress, and practice at the terminal."""
