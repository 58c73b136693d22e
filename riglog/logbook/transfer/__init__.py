"""Handing a log over and taking others in.

``selection``, ``bundling`` and ``bundle`` write; ``staging`` reads what comes from elsewhere,
``vetting`` looks at it (``foreign`` at each entry), ``rescue`` leaves out what is not sound, and
``merge`` takes it in.
"""
