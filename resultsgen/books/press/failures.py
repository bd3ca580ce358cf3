"""What keeps books from being made, told without loading what makes them."""

from __future__ import annotations

from resultsgen.meet.problems import NotPublishedError


class PressError(NotPublishedError):
    """A sheet could not be rendered; the message names it and says why."""


class RendererMissingError(NotPublishedError):
    """The renderer cannot work on this machine; the message says what to install."""
