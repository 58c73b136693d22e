"""Words as the full text sees them: small, without accents, apart at anything but letters."""

from __future__ import annotations

import re
import unicodedata

_APART = re.compile(r"[\W_]+")


def folded(text: str) -> str:
    """The words of a text, each with a space before it.

    Examples
    --------
    >>> folded("Zoë's 35-mm")
    ' zoe s 35 mm'
    """
    plain = text
    if not text.isascii():
        apart = unicodedata.normalize("NFKD", text)
        plain = "".join(c for c in apart if not unicodedata.combining(c))
    return "".join(f" {word}" for word in _APART.split(plain.casefold()) if word)


def has(text: str, word: str) -> bool:
    """Whether a word, or the words that it joins, occurs in a folded text or begins one there."""
    return folded(word) in text
