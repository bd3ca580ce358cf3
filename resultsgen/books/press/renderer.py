"""The renderer of the books, WeasyPrint, and the reins it runs in.

It reads nothing but the assets it is given: no file, no network. It needs Pango, a system
library that no Python package brings along, so it is imported where it is used and nowhere else.

Another version may set a line a hair's breadth elsewhere, so what it made is not taken from the
cache. The system libraries are asked for theirs directly, since loading the whole renderer only to
learn that nothing is to be done would take longer than everything else.
"""

from __future__ import annotations

import contextlib
import ctypes.util
import functools
import importlib.metadata
import io
import logging
import re
import sys
import zlib
from collections.abc import Iterator, Mapping
from hashlib import sha256
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from resultsgen.books.press import RendererMissingError
from resultsgen.books.press.columns import balance_in_few_steps
from resultsgen.books.press.extraction import Extraction, names_of_rows
from resultsgen.books.press.open_places import OpenPlaces, must_not_say_what_is_decided
from resultsgen.books.press.unit import Unit

VARIANT = "pdf/ua-1"

INSTALL = """PDF books need the system library Pango, which was not found here. To install it:
  Debian, Ubuntu:  sudo apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0
  Fedora:          sudo dnf install pango harfbuzz
  macOS:           brew install pango
  Windows:         install MSYS2 from https://www.msys2.org, run
                   "pacman -S mingw-w64-ucrt-x86_64-pango" in its window, and set the variable
                   WEASYPRINT_DLL_DIRECTORIES to C:\\msys64\\ucrt64\\bin"""


def explain_missing_renderer() -> str | None:
    """What to install so that books can be made; None where nothing is missing."""
    try:
        _weasyprint()
    except RendererMissingError as missing:
        return str(missing)
    return None


def _weasyprint() -> Any:
    """The renderer. On its way in it may print a paragraph of advice, which is not ours."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), _quick_search():
            import weasyprint
    except ImportError as problem:
        raise RendererMissingError(
            f"PDF books need the package weasyprint, version 70 ({problem}). To install it:\n"
            '  python -m pip install "weasyprint>=70,<71"'
        ) from problem
    except OSError as problem:
        raise RendererMissingError(f"{INSTALL}\n({problem})".rstrip()) from problem
    if can_join():
        balance_in_few_steps()
    return weasyprint


@contextlib.contextmanager
def _quick_search() -> Iterator[None]:
    """On Linux the libraries are found by name; asking a compiler for each takes 0.2 s."""
    search = ctypes.util.find_library
    if sys.platform == "linux":
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = search


KNOWN = {"weasyprint": "70.", "pydyf": "0.13."}
"""How the versions begin for which it is known how to join units."""

PACKAGES = ("weasyprint", "pydyf", "fonttools", "tinycss2", "tinyhtml5", "cssselect2", "pillow")

LIBRARIES = {
    "pango_version_string": ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll"),
    "hb_version_string": ("libharfbuzz.so.0", "libharfbuzz.0.dylib", "libharfbuzz-0.dll"),
}
"""The function that names the version, and the library's file name on each system."""

SUBSETTER = ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib", "libharfbuzz-subset-0.dll")


@functools.cache
def versions() -> str:
    """Everything whose version could change a byte of a book."""
    python = f"python {sys.version_info[0]}.{sys.version_info[1]}, zlib {zlib.ZLIB_RUNTIME_VERSION}"
    packages = (f"{package} {_package(package)}" for package in PACKAGES)
    libraries = (f"{ask} {_library(ask, names)}" for ask, names in LIBRARIES.items())
    subsetter = f"{'with' if has_subsetter() else 'without'} a subsetting library"
    # The cache outlives a program: what takes units apart and joins them is a version too.
    own = b"\0".join(path.read_bytes() for path in sorted(Path(__file__).parents[1].rglob("*.py")))
    return "; ".join((python, *packages, *libraries, subsetter, sha256(own).hexdigest()))


def can_join() -> bool:
    """The versions are here for which it is known how to join units; else books are plain."""
    return all(_package(name).startswith(version) for name, version in KNOWN.items())


def installed() -> str:
    """The versions that are here, of what has to be known to join units."""
    return " and ".join(f"{name} {_package(name)}" for name in KNOWN)


def known() -> str:
    """Those that it is known of."""
    return " and ".join(f"{name} {version}x" for name, version in KNOWN.items())


def has_subsetter() -> bool:
    """The library is here that makes fonts small, and the same on every machine."""
    return _loaded(SUBSETTER) is not None


def _package(name: str) -> str:
    try:
        return importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return "missing"


def _library(ask: str, names: tuple[str, ...]) -> str:
    """The version a system library gives for itself; empty where it cannot be asked."""
    library = _loaded(names)
    if library is None:
        return ""
    function = getattr(library, ask)
    function.restype = ctypes.c_char_p
    return str(function().decode())


def _loaded(names: tuple[str, ...]) -> ctypes.CDLL | None:
    for name in names:
        try:
            return ctypes.CDLL(name)
        except OSError:
            continue
    return None


BARE = "<title></title>"
"""A document to put into what was read in another way."""

BOX = ".notdef glyph"
"""How the renderer begins to tell that no font has a letter, and that it prints a box instead."""


class Complaints(logging.Handler):
    """What the renderer logs while it works: a link to nothing, a missing picture or letter."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.told: list[str] = []
        self.letters: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Remember it once; what is only advice on style sheets is none of ours."""
        message = record.getMessage()
        if message.startswith(BOX) and isinstance(record.args, tuple):
            self.letters.append(str(record.args[0]))
        elif record.levelno >= logging.ERROR and message not in self.told:
            self.told.append(message)

    def clear(self) -> None:
        """Forget what was told of the sheet before."""
        self.told.clear()
        self.letters.clear()

    def about(self, html: str) -> list[str]:
        """Everything that is wrong with a sheet, with the words that a letter stands in."""
        return [*self.told, *(_boxed(letter, html) for letter in dict.fromkeys(self.letters))]


def _boxed(letter: str, html: str) -> str:
    """That no font has a letter, and in which words it stands."""
    found = re.search(f"[^<>]*{re.escape(letter)}[^<>]*", html)
    words = unescape(found[0]).strip() if found else letter
    return (
        f"no font of this machine has the letter U+{ord(letter):04X}, as in “{words}”; "
        "install a font that has it, or write the text in another way"
    )


class NotWritten(dict[Any, Any]):
    """The fonts of a unit, which the renderer need not write: the book does."""

    def values(self) -> Any:
        """Those to write."""
        return ()


class Renderer:
    """The renderer with its fonts and style sheets loaded, ready for sheet after sheet."""

    def __init__(self, css: tuple[str, ...], assets: Mapping[str, tuple[str, bytes]]) -> None:
        self._weasyprint = _weasyprint()
        self._complaints = Complaints()
        logger = logging.getLogger("weasyprint")
        logger.handlers[:] = [self._complaints]
        logger.propagate = False
        from weasyprint.text.fonts import FontConfiguration

        self._fonts = FontConfiguration()
        self._fetcher = _fetcher(assets, self._complaints.told)
        self._assets = {sha256(data).hexdigest(): name for name, (_, data) in assets.items()}
        self._identity = sha256("\0".join(css).encode())
        with self._refusals_told():
            self._css = [
                self._weasyprint.CSS(
                    string=sheet, font_config=self._fonts, url_fetcher=self._fetcher
                )
                for sheet in css
            ]

    def book(self, html: str) -> bytes:
        """A whole PDF, tagged, and with an identifier that depends on nothing but its contents."""
        identity = self._identity.copy()
        identity.update(html.encode())
        with self._refusals_told(html):
            pdf: bytes = self._html(html).write_pdf(
                stylesheets=self._css,
                font_config=self._fonts,
                pdf_variant=VARIANT,
                pdf_identifier=identity.hexdigest()[:32].encode(),
            )
        return pdf

    def page_numbers(self, html: str) -> dict[str, int]:
        """The page of everything in a whole book that a link can lead to."""
        with self._refusals_told(html):
            document = self._html(html).render(stylesheets=self._css, font_config=self._fonts)
        return {
            name: number
            for number, page in reversed(list(enumerate(document.pages, start=1)))
            for name in page.anchors
        }

    def unit(self, html: str) -> Unit:
        """A few sections, taken apart so that they can be joined with others."""
        must_not_say_what_is_decided(html)
        made: list[Unit] = []

        def take(document: Any, pdf: Any) -> None:
            made.append(Extraction(document, pdf, places, rows).unit(self._assets))
            pdf.write = lambda *written, **not_at_all: None

        with self._refusals_told(html):
            source = self._html(html)
            rows = names_of_rows(source)
            document = source.render(stylesheets=self._css, font_config=self._fonts, pdf_tags=True)
            places = OpenPlaces(document)
            document.fonts = NotWritten(document.fonts)
            document.write_pdf(finisher=take, pdf_tags=True)
        return made[0]

    def _html(self, html: str) -> Any:
        """HTML as the renderer has it once it is read.

        Ours is well-formed XML too, and as such it is read forty times as fast; otherwise reading
        takes a fourteenth of all the time. A theme may write what is HTML alone.
        """
        try:
            tree = ElementTree.fromstring(html)
        except ElementTree.ParseError:
            return self._weasyprint.HTML(string=html, url_fetcher=self._fetcher)
        read = self._weasyprint.HTML(string=BARE, url_fetcher=self._fetcher)
        read.wrapper_element = type(read.wrapper_element).from_html_root(tree)
        read.etree_element = tree
        return read

    @contextlib.contextmanager
    def _refusals_told(self, html: str = "") -> Iterator[None]:
        """What the renderer refused or could not find is an error, and told in its words."""
        from weasyprint.urls import FatalURLFetchingError

        self._complaints.clear()
        try:
            yield
        except FatalURLFetchingError as refusal:
            raise ValueError(str(refusal)) from refusal
        if told := self._complaints.about(html):
            raise ValueError("; ".join(told))


def _fetcher(assets: Mapping[str, tuple[str, bytes]], refusals: list[str]) -> Any:
    """Hands out the assets (`asset:` and a name) and data within the text, and refuses all else."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class AssetFetcher(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            if url.startswith("data:"):
                return super().fetch(url, headers)
            if url.startswith("asset:") and url[6:] in assets:
                media_type, data = assets[url[6:]]
                return URLFetcherResponse(url, data, {"Content-Type": media_type})
            # Said here too, since a picture within a picture swallows whatever is raised.
            refusals.append(f"books may not read {url}")
            raise FatalURLFetchingError(refusals[-1])

    return AssetFetcher(allowed_protocols=("data",), allow_redirects=False, fail_on_errors=True)
