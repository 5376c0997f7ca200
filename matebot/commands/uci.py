"""``matebot uci`` (or no command): speak UCI, perhaps with the option values of a profile to begin with."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from matebot.profiles import read_profile
from matebot.uci.stdio import run as speak


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("--profile", metavar="NAME|FILE", help="option values to begin with")


def run(namespace: Namespace) -> int:
    """Speak UCI until told to quit."""
    return speak(read_profile(namespace.profile).values if namespace.profile is not None else None)
