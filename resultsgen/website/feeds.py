"""What other programs read of any site: robots.txt, the map of the site, a feed.

The feed is in the Atom format (RFC 4287).
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from urllib.parse import quote, urlsplit

from resultsgen.website.site_page import ALONE


def crawler_files(base: str, pages: tuple[str, ...]) -> dict[str, str]:
    """robots.txt, and with a whole address the map of the site; none where none may be listed.

    Pages that must not be listed say so themselves; a crawler has to read them to learn it, so
    robots.txt keeps nobody out.
    """
    robots = "User-agent: *\nDisallow:\n"
    if not base:
        return {"robots.txt": robots}
    urls = "".join(
        f"<url><loc>{escape(base + quote(page))}</loc></url>\n"
        for page in pages
        if page != "404.html" and not ALONE.match(page)
    )
    return {
        "robots.txt": f"{robots}Sitemap: {base}sitemap.xml\n",
        "sitemap.xml": '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{urls}</urlset>\n',
    }


FEED = "feed.xml"

ENTRIES = 100
"""So many the feed has at most, unless the newest publication alone has more."""

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'


def atom_feed(
    about: tuple[str, str, str], author: str, code: str, base: str, page: str,
    entries: Iterable[str],
) -> str:  # fmt: skip
    """A feed: *about* is its id, its title, and when it was updated."""
    id, title, updated = about
    lines = (
        f'<feed xmlns="http://www.w3.org/2005/Atom" xml:lang="{code}">',
        f"<id>{escape(id, quote=False)}</id>",
        f"<title>{escape(title, quote=False)}</title>",
        f"<updated>{updated}</updated>",
        f"<author><name>{escape(author, quote=False)}</name></author>",
        f'<link rel="self" type="application/atom+xml" href="{escape(base + FEED)}"/>',
        f'<link rel="alternate" type="text/html" href="{escape(base)}{page}"/>',
        *entries,
        "</feed>",
    )
    return HEAD + "\n".join(lines) + "\n"


def lasting_name(base: str, day: str, what: str) -> str:
    """A name that lasts (RFC 4151): the host, a day on which it was ours, and the path."""
    address = urlsplit(base)
    host = (address.hostname or "").encode("idna").decode()
    return f"tag:{host},{day}:{quote(address.path, safe='/%')}{what}"


def atom_entry(id: str, title: str, updated: str, link: str, summary: str) -> str:
    """An entry of a feed."""
    return "\n".join(
        (
            "<entry>",
            f"<id>{escape(id, quote=False)}</id>",
            f"<title>{escape(title, quote=False)}</title>",
            f"<updated>{updated}</updated>",
            f'<link rel="alternate" type="text/html" href="{escape(link)}"/>',
            f"<summary>{escape(summary, quote=False)}</summary>",
            "</entry>",
        )
    )
