"""The feed of publications and corrections, in the Atom format (RFC 4287).

A feed must name itself by a whole address and date its entries to the second and time zone, so
there is one only where `base_url` and the time of publication are known.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import accumulate
from urllib.parse import quote, urlsplit

from resultsgen.history.changes import Issue
from resultsgen.views.corrections.correction_words import correction_sentence, publication_sentence
from resultsgen.views.corrections.corrections import pages_of
from resultsgen.views.corrections.news import news
from resultsgen.views.corrections.published import Names
from resultsgen.views.press.notable import Fact
from resultsgen.website.pages import Subject

FEED = "feed.xml"
ENTRIES = 100
"""So many the feed has at most, unless the newest publication alone has more."""
HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'


def has_feed(subject: Subject) -> bool:
    """Whether there can be a feed."""
    return bool(subject.base_url and _dated(subject))


def feed_text(subject: Subject) -> str:
    """The whole feed, the newest publication first, each followed by its corrections."""
    settings, base = subject.results.meet.settings, subject.base_url
    dated = _dated(subject)
    author = settings.organiser or settings.title
    facts, pages = news(subject.results, subject.wording), pages_of(subject.results.history)
    lines = (
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang="{subject.wording.language.code}">',
        f"<id>{escape(_id(subject, 'feed'), quote=False)}</id>",
        f"<title>{escape(settings.title, quote=False)}</title>",
        f"<updated>{_time(dated[-1])}</updated>",
        f"<author><name>{escape(author, quote=False)}</name></author>",
        f'<link rel="self" type="application/atom+xml" href="{escape(base + FEED)}"/>',
        f'<link rel="alternate" type="text/html" href="{escape(base)}corrections.html"/>',
        *(
            line
            for issue in _newest(dated)
            for number in [issue.publication.number]
            for line in _entries(subject, issue, facts.get(number, ()), pages[number])
        ),
        "</feed>",
    )
    return HEAD + "\n".join(lines) + "\n"


def _dated(subject: Subject) -> list[Issue]:
    """The publications whose time and time zone are known."""
    return [
        issue
        for issue in subject.results.history.issues
        if issue.publication.published and issue.publication.published.tzinfo
    ]


def _newest(dated: list[Issue]) -> Iterator[Issue]:
    """The newest publications, until they have entries enough; the newest whatever it has."""
    entries = accumulate(1 + len(issue.corrected) for issue in reversed(dated))
    for number, (issue, so_far) in enumerate(zip(reversed(dated), entries, strict=True)):
        if number == 0 or so_far <= ENTRIES:
            yield issue


def _time(issue: Issue) -> str:
    time = issue.publication.published
    assert time is not None
    return time.isoformat(timespec="seconds")


def _id(subject: Subject, what: str) -> str:
    """A lasting name (RFC 4151): the host, the day of the first publication, and the path."""
    address = urlsplit(subject.base_url)
    host = (address.hostname or "").encode("idna").decode()
    return f"tag:{host},{_time(_dated(subject)[0])[:10]}:{quote(address.path, safe='/%')}{what}"


def _entries(subject: Subject, issue: Issue, facts: tuple[Fact, ...], page: str) -> Iterator[str]:
    """A publication with what is worth telling of it, and each of its corrections."""
    names = Names(subject.results, subject.wording)
    number = issue.publication.number
    title = subject.wording.say(
        "Publication {n}: {what}", n=number, what=publication_sentence(issue, subject.wording)
    )
    sentences = [correction_sentence(one, names) for one in issue.corrected]
    headed = subject.wording.language.headed
    told = [headed(fact.about, fact.sentence) for fact in facts]
    yield _entry(
        subject, issue, f"publication/{number}", f"{page}#publication-{number}", title,
        " ".join((*sentences, *told)) or title,
    )  # fmt: skip
    for nth, sentence in enumerate(sentences, start=1):
        yield _entry(
            subject, issue, f"publication/{number}/correction/{nth}",
            f"{page}#corrected-{number}-{nth}", sentence, sentence,
        )  # fmt: skip


def _entry(subject: Subject, issue: Issue, what: str, place: str, title: str, summary: str) -> str:
    link = f"{subject.base_url}{place}"
    return "\n".join(
        (
            "<entry>",
            f"<id>{escape(_id(subject, what), quote=False)}</id>",
            f"<title>{escape(title, quote=False)}</title>",
            f"<updated>{_time(issue)}</updated>",
            f'<link rel="alternate" type="text/html" href="{escape(link)}"/>',
            f"<summary>{escape(summary, quote=False)}</summary>",
            "</entry>",
        )
    )
