"""The form for marks that `watch` serves beside the pages: the same desk, for who prefers a mouse.

It needs no script. A mark is taken only from a page of this server, which alone knows the token, so
that no page from elsewhere can send one.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from html import escape
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs, urlencode

from resultsgen.entering.desk import Answer, Desk
from resultsgen.meet.marks import STATUSES
from resultsgen.meet.problems import MeetProblems
from resultsgen.reading.tables import whole_number

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response
    from starlette.routing import BaseRoute

PLACE = "/-watch/mark"
LARGEST = 20_000
"""Bytes of a form that is sent."""

HEADERS = {
    "cache-control": "no-store",
    "referrer-policy": "same-origin",
    "content-security-policy": "default-src 'none'; style-src 'self'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'",
}

NUMBERS = {"d": "D", "e": "E", "penalty": "Penalty", "bonus": "Bonus", "mark": "Mark"}
FIELDS = ("bib", "apparatus", "competition", *NUMBERS, "status", "vault")


class Form:
    """What the form shows and takes; one request after the other."""

    def __init__(self, folder: Path) -> None:
        self.desk, self.one_at_a_time = Desk(folder), Lock()
        self.token = secrets.token_urlsafe(16)
        self.told: list[Answer] = []
        """The answers so far: after a mark its page is asked for anew, by the number of its own."""

    def shown(self, asked: Mapping[str, str]) -> str:
        """The page that somebody asks for: who is up, or whom a link names."""
        with self.one_at_a_time:
            number = whole_number(asked.get("told", "")) or 0
            answer = self.told[number - 1] if 0 < number <= len(self.told) else Answer()
            return self._page(answer, asked)

    def taken(self, sent: Mapping[str, str], yes: list[str]) -> tuple[str, str]:
        """Where to go on once a mark is entered; else the page with what is asked or refused."""
        with self.one_at_a_time:
            said = {name: sent.get(name, "") for name in FIELDS}
            undo, confirmed = (sent.get("do") == one for one in ("undo", "yes"))
            answer = (
                self.desk.undo() if undo else self.desk.enter("", said, yes if confirmed else ())
            )
            if not answer.written:
                return "", self._page(answer, {} if undo else said)
            self.told.append(answer)
            where = {"told": str(len(self.told))}
            return f"{PLACE}?{urlencode(where)}", ""

    def _page(self, answer: Answer, said: Mapping[str, str]) -> str:
        try:
            body = "".join(self._body(answer, said))
        except MeetProblems as found:
            lines = tuple(map(str, found.problems))
            body = "".join(_told(Answer(refused=lines)))
        except OSError as error:
            body = "".join(_told(Answer(refused=(self.desk.unopened(error),))))
        return PAGE.format(body=body)

    def _body(self, answer: Answer, said: Mapping[str, str]) -> Iterator[str]:
        settings = self.desk.look().meet.settings
        yield f"<header>{escape(settings.title)}<h1>Enter marks</h1></header><main>"
        yield from _told(answer)
        yield from (f"<p>To mend: {escape(str(one))}</p>" for one in self.desk.problems)
        yield f'<form method="post" action="{PLACE}">'
        yield _hidden("token", self.token)
        if answer.questions:
            # The key Enter is the first button of a form, and no yes.
            yield '<button class="unseen" tabindex="-1" aria-hidden="true">Enter</button>'
            yield from (_hidden("yes", question) for question in answer.questions)
            yield '<p class="ask"><button name="do" value="yes">Enter it as it stands</button> '
            yield "or correct it:</p>"
        yield from self._fields(said, asked=bool(answer.questions or answer.refused))
        yield "</form>"
        yield from self._up()
        if self.desk.written:
            yield f'<form method="post" action="{PLACE}">{_hidden("token", self.token)}'
            yield '<button name="do" value="undo">Take back the last mark</button></form>'
        yield "</main>"

    def _fields(self, said: Mapping[str, str], *, asked: bool) -> Iterator[str]:
        """The fields, with what was said, else with who is up; the first to fill has focus."""
        routine = None if said.get("bib") or asked else self.desk.bare()
        given = {"bib": routine.gymnast.bib, "apparatus": routine.part} if routine else said
        judged = self.desk.look()
        rules = [one.marks for one in judged.meet.rule_sets.values()]
        names = ["d", "e", "penalty"] if any(one.composition == "d+e" for one in rules) else []
        names += ["bonus", "mark"] if any(one.bonus for one in rules) else ["mark"]
        focus = names[0] if given.get("bib") else "bib"
        yield '<div class="whose">'
        yield _field("bib", "Bib", given, focus, 'list="bibs" required')
        yield _choice("apparatus", "Apparatus", [("", ""), *self.desk.apparatus()], given)
        ids = [one.id for one in judged.meet.settings.competitions if one.has_own_marks]
        if len(ids) > 1:
            first = [("", "by the bib")]
            yield _choice("competition", "Competition", [*first, *((id, id) for id in ids)], given)
        yield '</div><div class="what">'
        for name in names:
            yield _field(name, NUMBERS[name], given, focus, 'inputmode="decimal"')
        statuses = [("", "a mark"), *((one, one) for one in STATUSES)]
        yield _choice("status", "Or", statuses, given)
        yield "<button>Enter</button></div>"
        people = self.desk.completions()
        options = (f'<option value="{escape(bib)}">{escape(shown)}' for bib, shown in people)
        yield f'<datalist id="bibs">{"".join(options)}</datalist>'

    def _up(self) -> Iterator[str]:
        """Who is up on each apparatus, each a link that fills the form."""
        ups = self.desk.up()
        several = len({one.routine.competition for one in ups}) > 1
        yield '<h2>Up next</h2><ul class="up">' if ups else "<p>No mark is to come.</p>"
        for one in ups:
            fill = {"bib": one.routine.gymnast.bib, "apparatus": one.routine.part,
                    "competition": one.routine.competition}  # fmt: skip
            name = escape(self.desk.named(one.routine.gymnast))
            then = f"<small>then {escape(self.desk.named(one.then))}</small>" if one.then else ""
            squad = f" <small>squad {escape(one.squad)}</small>" if one.squad else ""
            title = one.routine.judged.competition.title
            squad += f" <small>{escape(title)}</small>" if several else ""
            link = f'<a href="{PLACE}?{escape(urlencode(fill))}">{name}</a>'
            need = f"<p>{escape(told)}</p>" if (told := self.desk.need(one.routine)) else ""
            yield f"<li><b>{escape(one.routine.part)}</b>{squad} {link} {then}{need}</li>"
        yield "</ul>" if ups else ""


def _told(answer: Answer) -> Iterator[str]:
    """The answer; what is refused or asked back in the place of it."""
    lines = answer.refused or answer.questions
    if lines:
        head = "Not entered" if answer.refused else "Is this right?"
        items = "".join(f"<li>{escape(line)}" for line in lines)
        yield f'<section role="alert"><h2>{head}</h2><ul>{items}</ul></section>'
    elif answer.text:
        notes = "".join(f"<p>{escape(line)}</p>" for line in answer.notes)
        yield f'<section role="status"><p>{escape(answer.text)}</p>{notes}</section>'


def _hidden(name: str, value: str) -> str:
    return f'<input type="hidden" name="{name}" value="{escape(value)}">'


def _field(name: str, label: str, given: Mapping[str, str], focus: str, more: str) -> str:
    own = f"{more} autofocus" if name == focus else more
    value = escape(given.get(name, ""))
    return f'<label>{label}<input name="{name}" value="{value}" autocomplete="off" {own}></label>'


def _choice(name: str, label: str, choices: list[tuple[str, str]], given: Mapping[str, str]) -> str:
    """A choice; what was said in any letters is chosen."""
    said = given.get(name, "").casefold()
    options = "".join(
        f'<option value="{escape(value)}"{" selected" * (value.casefold() == said)}>{escape(shown)}'
        for value, shown in choices
    )
    needed = " required" * (choices[0] == ("", ""))
    return f'<label>{label}<select name="{name}"{needed}>{options}</select></label>'


PAGE = (
    '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>Enter marks</title>'
    '<meta name="viewport" content="width=device-width">'
    '<link rel="stylesheet" href="/-watch/mark.css"></head><body>{body}</body></html>\n'
)


def mark_routes(folder: Path) -> list[BaseRoute]:
    """What answers for the form, to be mounted before the pages."""
    from starlette.concurrency import run_in_threadpool
    from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse
    from starlette.routing import Route

    form = Form(folder)

    async def show(request: Request) -> Response:
        page = await run_in_threadpool(form.shown, dict(request.query_params))
        return HTMLResponse(page, headers=HEADERS)

    async def take(request: Request) -> Response:
        length, origin = request.headers.get("content-length", ""), request.headers.get("origin")
        if not length.isdecimal() or int(length) > LARGEST:
            return PlainTextResponse("too long", 413)
        sent = parse_qs((await request.body()).decode("utf-8", "replace"), keep_blank_values=True)
        fields = {name: values[0] for name, values in sent.items()}
        same = origin == f"http://{request.headers.get('host')}"
        if not same or not secrets.compare_digest(
            fields.get("token", "").encode(), form.token.encode()
        ):
            return PlainTextResponse("this form is of another page; load it anew", 403)
        where, page = await run_in_threadpool(form.taken, fields, sent.get("yes", []))
        if where:
            return RedirectResponse(where, 303, headers=HEADERS)
        return HTMLResponse(page, headers=HEADERS)

    async def answered(request: Any) -> Response:
        return await (take(request) if request.method == "POST" else show(request))

    return [Route(PLACE, answered, methods=["GET", "POST"])]
