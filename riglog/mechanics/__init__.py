"""Rigid rigs on a pivot: pure functions of arrays, SI, nothing read or written.

Scalars and arrays broadcast; leading axes are batches. Angles in radians, lean positive with the
nose down. A broken contract is a ValueError, never a quiet nan: where physics can say no, a
predicate (``reaches``) says so first.
"""
