"""Independent witnesses: what the program claims, judged by python-chess's rules and by plain search.

Nothing here may import `matebot` (a test sees to that), so no fault of the program can hide behind itself.
"""
