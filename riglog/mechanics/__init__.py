"""Rigid rigs on a pivot: pure functions of arrays, SI, nothing read or written.

Scalars and arrays broadcast; leading axes are batches. Angles in radians, lean positive with the
nose down. A broken contract is a ValueError, never a quiet nan: where physics can say no, a
predicate (``reaches``, ``has_height``) says so first.

``mass_properties`` parts to one body; ``pendulum`` body to drop time, ``friction`` the same under
a torque, with its gradient; ``pivot`` drop time to height, ``marks`` drop times to neutral;
``swing`` periods; ``balance`` how it hangs, ``handling`` how it feels, ``readings`` what repeats
say; ``traces`` drops in what a motion sensor showed: ``trace_signal`` its angle and turns,
``fall_guess`` where it may have fallen, ``fall_fit`` the ``free_swing`` that it then lies on.
``elliptic``, ``roots``, ``height_search`` and ``bounded`` serve these.
"""
