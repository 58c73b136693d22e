"""What a pan told of the principal axis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import evidence, figures, layout, objects, warned
from riglog.wording.terms import Terms, terms_of
from riglog.wording.trim import tilted

if TYPE_CHECKING:
    from riglog.jobs.trim_answers import SpinAnswer
    from riglog.wording.objects import Json

_DID = {"dips": "dips", "rises": "rises", "flat": "stays flat"}


def say(answer: SpinAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = terms_of(answer.named, answer.pivot)
    told = [text for _, text in _messages(answer, terms)]
    rate = figures.pan_rate(answer.rate_rad_s)
    did = f"{answer.named.build}: the lens end {_DID[answer.lens_end]} at {rate}."
    recorded = f"Recorded as {evidence.entry(answer.recorded)}.{_expected(answer)}"
    known = answer.tilt_rad.value is not None
    before = f"Before: {figures.angle(answer.tilt_before_rad)}." if known else ""
    told_first = layout.capital(f"{tilted(answer.tilt_rad)}.") if known else did
    return layout.page(
        layout.lines(told_first),
        layout.lines(f"{did} {recorded}" if known else recorded, before),
        layout.listing("Mind:", told),
        "\n".join(
            [
                layout.lines(evidence.rests_on(answer.evidence), "What to move:"),
                layout.command("riglog trim", answer.named.build),
            ]
        ),
    )


def tell(answer: SpinAnswer) -> Json:
    """What was recorded and what it says, as one object.

    ``{"build", "version", "entry", "recorded", "lens_end", "rate_rpm", "expected_deg",
    "critical_rpm", "tilt_before_deg", "tilt_deg", "evidence", "warnings"}``

    ``recorded`` is the entry's id, ``expected_deg`` the lean expected at that rate before, null
    near the critical rate. ``tilt_before_deg`` and ``tilt_deg``, without and with the reading, are
    each ``{"value", "low", "high"}``; positive is nose down in a fast pan.
    """
    terms = terms_of(answer.named, answer.pivot)
    return {
        **objects.named(answer.named),
        "recorded": answer.recorded,
        "lens_end": answer.lens_end,
        "rate_rpm": objects.number(answer.rate_rad_s, "rpm"),
        "expected_deg": objects.number(answer.expected_rad, "deg"),
        "critical_rpm": objects.number(answer.critical_rad_s, "rpm"),
        "tilt_before_deg": objects.value(answer.tilt_before_rad, "deg"),
        "tilt_deg": objects.value(answer.tilt_rad, "deg"),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(_messages(answer, terms)),
    }


def _messages(answer: SpinAnswer, terms: Terms) -> list[warned.Message]:
    return warned.messages(answer.warnings, terms)


def _expected(answer: SpinAnswer) -> str:
    if answer.expected_rad is None:
        return ""
    return f" Expected there: {warned.leaning(answer.expected_rad)}."
