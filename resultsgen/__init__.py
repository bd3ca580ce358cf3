"""resultsgen: final marks and a roster become a results website and result books."""

import os

__version__ = "0.1.0"

# No other package takes part in validating settings; to look for one takes as long as to read a
# small meet.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
