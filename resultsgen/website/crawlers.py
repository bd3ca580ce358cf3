"""What search engines read: robots.txt and the map of the site."""

from __future__ import annotations

from html import escape
from urllib.parse import quote

from resultsgen.website.pages import Subject


def crawler_files(subject: Subject, pages: tuple[str, ...]) -> dict[str, str]:
    """robots.txt, and with a base_url the map of the site.

    Pages that must not be listed say so themselves; a crawler has to read them to learn it, so
    robots.txt keeps nobody out.
    """
    base = subject.base_url
    robots = "User-agent: *\nDisallow:\n"
    if not base or not subject.results.meet.settings.privacy.search_engines:
        return {"robots.txt": robots}
    urls = "".join(
        f"<url><loc>{escape(base + quote(page))}</loc></url>\n"
        for page in pages
        if page != "404.html"
    )
    return {
        "robots.txt": f"{robots}Sitemap: {base}sitemap.xml\n",
        "sitemap.xml": '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{urls}</urlset>\n',
    }
