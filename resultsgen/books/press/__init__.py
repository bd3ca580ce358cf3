"""The press: where HTML becomes PDF, whole or as units that can be joined.

All that knows the renderer is here, and nothing of the sport, so that the processes that render
are at work soon and stay small.
"""

from __future__ import annotations

from resultsgen.meet.problems import NotPublishedError


class PressError(NotPublishedError):
    """A sheet could not be rendered; the message names it and says why."""


class RendererMissingError(NotPublishedError):
    """The renderer cannot work on this machine; the message says what to install."""
