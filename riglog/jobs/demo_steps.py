"""How the demonstration library comes about: three days, two people, a machine for each."""

from __future__ import annotations

from typing import Literal, NamedTuple

LIBRARY, SECOND = "demo.db", "second.db"
_LIBRARIES = {"mira": LIBRARY, "jonas": SECOND}


class Step(NamedTuple):
    """One command: what is done, to or with what, in which library and by whom."""

    do: Literal["add", "merge", "settle"]
    what: str
    library: str
    author: str


def _adds(*files: str) -> list[Step]:
    """Each document into the library of the person that it is named after."""
    people = [file.split("-")[1] for file in files]
    return [
        Step("add", file, _LIBRARIES[person], person)
        for file, person in zip(files, people, strict=True)
    ]


STEPS = (
    *_adds("01-mira-kit.yaml"),
    Step("merge", LIBRARY, SECOND, "jonas"),
    *_adds(
        "02-mira-a-cam-lens-29.yaml",
        "03-jonas-b-cam-lens-21.yaml",
        "04-mira-a-cam-lens-65.yaml",
        "05-jonas-b-cam-lens-100.yaml",
        "06-mira-a-cam-lens-40.yaml",
        "07-jonas-b-cam-lens-135.yaml",
        "08-jonas-b-cam-lens-18.yaml",
    ),
    # Jonas takes the A camera over as it is, and Mira does not know.
    Step("merge", LIBRARY, SECOND, "jonas"),
    *_adds("09-jonas-a-cam-lens-75.yaml", "10-mira-a-cam-tags.yaml"),
    Step("merge", SECOND, LIBRARY, "mira"),
    Step("settle", "a-cam", LIBRARY, "mira"),
    *_adds("11-mira-a-cam-lens-100.yaml", "12-jonas-b-cam-lens-40.yaml"),
    Step("merge", SECOND, LIBRARY, "mira"),
    # What else hangs from a pivot: a ring, a powered head in it, low mode, a scale in inches.
    *_adds(
        "13-mira-more-rigs.yaml",
        "14-mira-ring-cam.yaml",
        "15-mira-ring-head.yaml",
        "16-mira-low-cam.yaml",
        "17-mira-inch-cam.yaml",
    ),
)
DOCUMENTS = tuple(step.what for step in STEPS if step.do == "add")
