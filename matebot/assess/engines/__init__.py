"""Engines as processes that are asked and answer; what goes wrong becomes a named fault."""
