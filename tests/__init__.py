"""The tests of matebot; the folders mirror those of the package."""

import sys
from pathlib import Path

# Where Python is to leave no compiled modules in the tree, they are kept beside what pytest keeps for its next run: to
# make them anew, with what stands in every assertion, takes each worker five seconds, and each process one.
if sys.dont_write_bytecode:
    sys.dont_write_bytecode = False
    sys.pycache_prefix = str(Path(__file__).parents[1] / ".pytest_cache" / "compiled")
