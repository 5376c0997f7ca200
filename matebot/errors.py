"""The one kind of failure that is the user's to mend; imports nothing, so that every room may raise it."""


class UserError(Exception):
    """Something asked for cannot be done as asked; the text is one clear line, shown without a traceback."""
