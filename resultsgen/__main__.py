"""`python -m resultsgen` is the command itself, where no script of that name is on the path."""

import sys

from resultsgen.cli import main

if __name__ == "__main__":
    sys.exit(main())
