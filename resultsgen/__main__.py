"""`python -m resultsgen` is the command itself, where no script of that name is on the path."""

import os
import sys

# Python looks for modules in the current folder first, which may be a meet folder from a stranger.
if sys.path[0] == os.getcwd() and not __file__.startswith(os.path.join(os.getcwd(), "resultsgen")):
    del sys.path[0]

from resultsgen.cli import main

if __name__ == "__main__":
    sys.exit(main())
