"""Questions of many words, as typed: the job reads them, so that every caller asks alike."""

from __future__ import annotations

from typing import NamedTuple


class DropQuestion(NamedTuple):
    """A drop test: texts in, None or nothing where nobody said.

    ``build`` None means the one in use. ``times`` are like ``3.1`` or ``3.1s``; instead of them
    ``frames`` are counted in a clip, or ``timecodes`` are its IN-OUT, or ``trace`` is a file that a
    sensor logged, its ``columns`` and their ``units`` named and ``upright`` what it shows upright.
    ``timed_to`` is where the watch was stopped, ``live`` that it was stopped as this program said.
    ``mark`` is a reading of the pivot's scale, ``set_`` those of other adjusters as
    `ADJUSTER=READING`, ``want`` the drop time to move to. ``method``, ``nose`` (up or down),
    ``release``, ``fps``, ``conditions``, ``note``, ``tags`` and ``on`` are as a drop in a document
    has them. ``head`` is what a powered head does. ``type`` is that of the rig to start where the
    build is not known yet.
    """

    build: str | None
    times: tuple[str, ...] = ()
    mark: str | None = None
    want: str | None = None
    method: str | None = None
    nose: str | None = None
    fps: str | None = None
    note: str | None = None
    conditions: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    on: str | None = None
    type: str | None = None
    release: str | None = None
    frames: tuple[str, ...] = ()
    timecodes: tuple[str, ...] = ()
    head: str | None = None
    trace: str | None = None
    columns: str | None = None
    units: str | None = None
    upright: str | None = None
    timed_to: str | None = None
    live: bool = False
    set_: tuple[str, ...] = ()
