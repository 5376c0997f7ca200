"""Tests of the checks on solved endings."""
