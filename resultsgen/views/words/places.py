"""Places in words, as they are read out and stand on a certificate."""

from __future__ import annotations

from resultsgen.language import to_say
from resultsgen.views.words.wording import Wording

FIRST = to_say("1st place")
PLACES = {1: to_say("{n}st place"), 2: to_say("{n}nd place"), 3: to_say("{n}rd place")}
OTHER = to_say("{n}th place")
"""English has four endings; other languages have others, and the first place its own."""


def place_words(place: int, shared: bool, wording: Wording) -> str:
    """A place in words, and whether others have it too.

    >>> [place_words(place, False, Wording()) for place in (1, 2, 11, 23)]
    ['1st place', '2nd place', '11th place', '23rd place']
    >>> place_words(3, True, Wording())
    'shared 3rd place'
    """
    ending = OTHER if place // 10 % 10 == 1 else PLACES.get(place % 10, OTHER)
    words = wording.say(FIRST if place == 1 else ending, n=place)
    return wording.say("shared {place}", place=words) if shared else words
