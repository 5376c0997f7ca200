"""Games, questions and probes carried out, several at a time."""
