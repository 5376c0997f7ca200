"""The textbook methods as mathematics: zones, plans, ladders of stages solved like endings, and their proof."""
