"""resultsgen: final marks and a roster become a results website and result books."""

__version__ = "0.1.0"
