"""``python -m matebot`` is the same as the command ``matebot``."""

import sys

from matebot.cli import main

if __name__ == "__main__":
    sys.exit(main())
