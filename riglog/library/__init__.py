"""A person's library: what stands between the log of entries and the questions.

``library`` is the front door; ``places`` where the file lies and who works with it; ``standing``
where a rig stands; ``recording`` and ``additions`` nouns and documents to entries; ``adjusters``
and ``clock`` what was typed and when. Nothing here knows SQLite.
"""

from riglog.library.library import Library
from riglog.library.standing import Standing, where

__all__ = ["Library", "Standing", "where"]
