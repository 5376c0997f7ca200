"""The textbook methods as mathematics: stages that are proved, and facts about moves that can be checked."""
