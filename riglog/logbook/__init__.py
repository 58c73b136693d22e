"""The log: append-only, versioned, in one SQLite file, durable and checkable.

``Logbook`` is the front door. ``entry`` says what is recorded and what it is known by; ``schema``
holds the tables; ``connection`` the only contact with SQLite; ``index`` and ``derive`` what makes
entries findable; ``reads`` the questions, with ``versioned``, ``using``, ``search`` and ``said``;
``auditing`` whether all is as recorded; ``transfer`` bundles and merges. It knows nothing of what a
body means beyond ``derive``, and ``apart``, which tells a fork from two weighings.
"""

from riglog.logbook.entry import Draft, Entry, Envelope, now
from riglog.logbook.logbook import Logbook, Transaction
from riglog.logbook.reads import NOUNS, Reader
from riglog.logbook.versions import Version

__all__ = [
    "NOUNS",
    "Draft",
    "Entry",
    "Envelope",
    "Logbook",
    "Reader",
    "Transaction",
    "Version",
    "now",
]
