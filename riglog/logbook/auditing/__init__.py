"""Whether all in a library is as it was recorded, and what is wrong where it is not.

``audit`` asks ``proof`` first, and where there is none ``walk`` and ``derived`` tell what is wrong;
``against`` compares with a fingerprint, ``salvage`` reads a file whose end is missing.
"""
