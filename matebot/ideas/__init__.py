"""Ideas: claims about a move or a position that a coach would make, one a file, each defined exactly; no English."""
