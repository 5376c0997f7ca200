"""Mutation testing: small changes of meaning to one module, and which test notices each.

`python -m tests.mutation matebot/laws/referee.py`; see DEVELOPERS.md.
"""
