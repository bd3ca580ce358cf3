"""What renders on this machine, in words: part of the key under which a result is kept.

Another version may set a line a hair's breadth elsewhere, so what it made is not taken from the
cache. The system libraries are asked directly, since loading the whole renderer only to learn
that nothing is to be done would take longer than everything else.
"""

from __future__ import annotations

import ctypes
import functools
import importlib.metadata
import sys
import zlib
from hashlib import sha256
from pathlib import Path

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
