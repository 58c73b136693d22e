"""Where the library lies, and who is at work."""

from __future__ import annotations

import os
from pathlib import Path

from riglog.errors import CallError

_LONGEST = 100


def library_path(given: str | None = None) -> Path:
    """The library file: the one given, else that of RIGLOG_DB, else one in the user's data folder.

    Raises
    ------
    CallError
        If the name given is empty.
    """
    if given is not None:
        return _path(given, "--db")
    if named := os.environ.get("RIGLOG_DB"):
        return _path(named, "RIGLOG_DB")
    from platformdirs import user_data_path  # 3 to 7 ms that a named library does not cost

    return user_data_path("riglog", appauthor=False) / "riglog.db"


def _path(name: str, source: str) -> Path:
    if not name.strip() or "\0" in name:
        raise CallError(f"{source} names no file", hint="name the library file")
    return Path(name).expanduser()


def author_name(given: str | None = None, *, needed: bool = True) -> str:
    """Who records: the one given, else RIGLOG_AUTHOR, else the login name.

    Parameters
    ----------
    needed
        Whether somebody must be named; else nobody is "".

    Raises
    ------
    CallError
        If the name is empty, too long, or holds what does not print.
    """
    name = given if given is not None else os.environ.get("RIGLOG_AUTHOR") or _login()
    if name is not None:
        return _checked(" ".join(name.split()))
    if needed:
        raise CallError("the login has no name here", hint="say who records, as --author kim")
    return ""


def _login() -> str | None:
    from getpass import getuser

    try:
        return getuser()
    except (OSError, KeyError, ImportError):  # no such user, or a system without users
        return None


def _checked(name: str) -> str:
    if not name or not name.isprintable() or len(name) > _LONGEST:
        hint = f"write a name of at most {_LONGEST} characters, as --author kim"
        raise CallError("the author has no name that can be printed", hint=hint)
    if name.isascii():
        return name
    import unicodedata  # 3 ms, and most names are plain

    return unicodedata.normalize("NFC", name)
