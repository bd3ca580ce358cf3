"""The Markdown pages of a meet: facts are put in, then the text becomes safe HTML.

A fact that does not exist, a misspelt name or a picture that is not there is a problem with the
line of the file; a page with problems is not published. A fact that is not decided yet says so on
the page, for a meet is published while it runs.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from inspect import Signature, signature
from itertools import islice
from pathlib import PurePosixPath

from jinja2 import ChainableUndefined, Template, TemplateSyntaxError, Undefined
from jinja2.exceptions import SecurityError, TemplateRuntimeError

from resultsgen.language import LANGUAGES
from resultsgen.meet.folder import Meet
from resultsgen.meet.pages import Page
from resultsgen.meet.problems import Problem
from resultsgen.privacy.contents import readings
from resultsgen.privacy.forms import Sought
from resultsgen.privacy.withheld import told_in, told_message, withheld
from resultsgen.scoring.results import Results
from resultsgen.views.people.finding import Asked, NotDecidedError, Remarked
from resultsgen.views.press.facts import FACTS, Reference
from resultsgen.views.site.addresses import in_language, language_folder
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.views.site.pictures import COLUMN, offered
from resultsgen.views.site.site_map import addresses, linked
from resultsgen.website.markup import effort, markdown_text, safe_html
from resultsgen.website.sandbox import BUDGET, Purse, Sandbox, Undecided

CODES = {
    "page-syntax": "A page cannot be read: look for a bracket or an end tag that is missing.",
    "page-text": "A page asks for something that does not exist, or for too much: correct it.",
    "page-fact": "A fact is not there, or asked otherwise: the message says what there is.",
    "page-link": "A page leads to a Markdown page that is not there: correct the name.",
    "page-picture": "A page shows a picture that is not in assets/: add it, or correct its name.",
}
"""What each problem code of a page means and how it is mended; checks/README.md lists the same."""

TEMPLATE = "<template>"
"""What Jinja2 calls the file of a template that was read from a text."""

_signature: Callable[[Callable[..., object]], Signature] = cache(signature)

Link = Callable[[str], str]
"""The link from a page to a target: `gymnast:women/101`, `asset:photo.jpg`, `page:recap`."""


def rendered_pages(results: Results) -> tuple[tuple[RenderedPage, ...], list[Problem]]:
    """Every page of the meet as the site shows it, and what is wrong in any of them.

    A page tells its facts in the language it is written in.
    """
    known = addresses(results)
    purse = Purse()
    names = withheld(results.meet).names
    problems: dict[Problem, None] = {}
    rendered = []
    for site in results.meet.settings.languages:
        folder = language_folder(site, results.meet.settings.languages)
        where = {target: in_language(address, folder) for target, address in known.items()}
        for page in _best_versions(results.meet, site):
            link = partial(linked, page=where[f"page:{page.slug}"], where=where)
            making = _Making(page, Asked(results, LANGUAGES[page.language]), link, purse)
            html = making.html()
            problems |= dict.fromkeys((*making.problems, *_names_told(names, page, html)))
            rendered.append(
                RenderedPage(
                    page.slug,
                    page.title,
                    html,
                    page.date,
                    page.language,
                    site,
                    page.order,
                    page.club,
                    tuple(making.undecided),
                )
            )
    return tuple(rendered), list(problems)


def _names_told(names: Sought | None, page: Page, html: str) -> Iterator[Problem]:
    """Where a page tells a name that is withheld, as it reads once facts and Markdown are done."""
    if names is not None:
        found = [told for text in readings(html) for told in told_in(names, text)]
        for bib, said in {told.bib: told.said for told in reversed(found)}.items():
            message = told_message(said, bib)
            yield Problem(page.file, 0, "", "withheld-name", message)


def _best_versions(meet: Meet, site: str) -> Iterator[Page]:
    """Each page in the language of the site, else in the main language, else in what there is."""
    wanted = (site, *meet.settings.languages)
    versions: dict[str, list[Page]] = {}
    for page in meet.pages:
        versions.setdefault(page.slug, []).append(page)
    for of_one in versions.values():
        yield min(of_one, key=lambda page: wanted.index(page.language))


@dataclass
class _Making:
    """One page while it is made; problems gather, so that all are told at once."""

    page: Page
    asked: Asked
    link: Link
    purse: Purse
    problems: list[Problem] = field(default_factory=list)
    undecided: list[str] = field(default_factory=list)
    """What the page cannot tell yet, or not in these words, with its line."""
    lines: list[tuple[int, int]] = field(default_factory=list)
    """Those of the page, each with the line of its template where it begins."""

    def html(self) -> str:
        """The page's HTML; empty where its text could not be read to the end."""
        text = self._text()
        try:
            self.purse.pay(effort(text))
            return safe_html(text, self._referred)
        except (SecurityError, RecursionError) as error:
            self._problem(1, "page-text", f"cannot be made into a page: {error}")
        return ""

    def _text(self) -> str:
        """The Markdown of the page with the facts put in."""
        facts = {fact.__name__: partial(self._told, fact) for fact in FACTS}
        try:
            template = Sandbox(facts, self._printed, self.purse).from_string(self.page.body)
            self.lines = template.debug_info
            return self._within_budget(template)
        except TemplateSyntaxError as error:
            self._problem(error.lineno, "page-syntax", error.message or "this cannot be read")
        except (TemplateRuntimeError, RecursionError, TypeError, ValueError) as error:
            self._problem(_line_of(error), "page-text", str(error))
        except ArithmeticError as error:
            self._problem(_line_of(error), "page-text", f"cannot be calculated: {error}")
        return ""

    def _within_budget(self, template: Template) -> str:
        parts: list[str] = []
        size = 0
        for part in template.generate():
            parts.append(part)
            size += len(part)
            if size > BUDGET:
                raise ValueError("this page grows too long")
        return "".join(parts)

    def _told(self, fact: Callable[..., object], *args: object, **more: object) -> object:
        """A fact's answer; a fact that is not there is a problem, and the page goes on."""
        known = _signature(fact)
        try:
            known.bind(self.asked, *args, **more)
        except TypeError as error:
            wanted = ", ".join(islice(known.parameters, 1, None))
            message = f"{fact.__name__}({wanted}) is asked otherwise: {error}"
            self._problem(self._line_now(), "page-fact", message)
            return ChainableUndefined()
        try:
            answer = fact(self.asked, *args, **more)
            if isinstance(answer, Remarked):
                self._remark(answer.remark)
            return answer
        except NotDecidedError as waiting:
            self._remark(f"{waiting.args[0]}; the page says so")
            return Undecided(self.asked.language.say("not decided yet"))
        except LookupError as unknown:
            self._problem(self._line_now(), "page-fact", str(unknown.args[0]))
            return ChainableUndefined()

    def _remark(self, text: str) -> None:
        line = self.page.first_line + self._line_now() - 1
        self.undecided.append(f"{self.page.file}:{line} {text}")

    def _printed(self, value: object) -> str:
        """A value as it stands in the Markdown: as text, or as a link to another page."""
        if isinstance(value, Reference):
            return f"[{markdown_text(value.text)}](<{self.link(value.target)}>)"
        if isinstance(value, str | int | Undefined):
            return markdown_text(str(value))
        raise SecurityError("this is not a text; write one of its fields, such as .name or .total")

    def _line_now(self) -> int:
        """The line of the page that is being read."""
        frame = sys._getframe()
        while frame.f_back and frame.f_code.co_filename != TEMPLATE:
            frame = frame.f_back
        return next((line for line, at in reversed(self.lines) if at <= frame.f_lineno), 1)

    def _referred(self, tag: str, value: str) -> dict[str, str]:
        """Pictures come from assets/; a link to a Markdown file leads to its page."""
        path = PurePosixPath(value.removeprefix("../"))
        if tag == "img":
            return self._picture(value, str(path).removeprefix("assets/"))
        if ":" in value or path.suffix != ".md":
            return {"href": value}
        slug = path.name.partition(".")[0]
        if slug in {page.slug for page in self.asked.results.meet.pages}:
            return {"href": self.link(f"page:{slug}")}
        self._problem(self._line_with(value), "page-link", f"there is no page {value}")
        return {}

    def _picture(self, value: str, name: str) -> dict[str, str]:
        meet = self.asked.results.meet
        if "assets/" in value and name in meet.assets:
            return {"src": self.link(f"asset:{name}"), **self._sizes(meet, name)}
        message = f"there is no picture {value}; put it into assets/ and write assets/its-name"
        self._problem(self._line_with(value), "page-picture", message)
        return {}

    def _sizes(self, meet: Meet, name: str) -> dict[str, str]:
        """How large a picture is, so that nothing moves when it comes, and its smaller ones."""
        if name not in meet.sizes:
            return {}
        size, each = meet.sizes[name], tuple(offered(meet, name))
        told = {"width": str(size.width), "height": str(size.height)}
        if len(each) > 1:
            links = (f"{self.link(f'asset:{one}')} {width}w" for width, one in each)
            told |= {"srcset": ", ".join(links), "sizes": COLUMN}
        return told

    def _line_with(self, text: str) -> int:
        lines = self.page.body.splitlines()
        return next((number for number, line in enumerate(lines, 1) if text in line), 1)

    def _problem(self, line: int, code: str, message: str) -> None:
        row = self.page.first_line + line - 1
        self.problems.append(Problem(self.page.file, row, "", code, message))


def _line_of(error: BaseException) -> int:
    """The line of the page in which an error was raised."""
    lines = [
        line
        for frame, line in traceback.walk_tb(error.__traceback__)
        if frame.f_code.co_filename == TEMPLATE
    ]
    return lines[-1] if lines else 1
