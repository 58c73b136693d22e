"""What the log says about a kit: from nouns to parameters, a posterior, and predictions.

``kit`` the nouns that come in; ``priors`` what is believed before anything was logged;
``tree`` a build as arrays; ``parameters`` one vector for all that is uncertain; ``forward`` center
of gravity and inertia with their gradients; ``observations`` readings as rows; ``posterior`` the
fit in the space of the readings; ``wild`` readings that are not to be believed; ``interval`` what
is said about a quantity; ``lineup`` and ``many`` a table of stands at once. ``products`` the
tilt of the principal axis, ``trim`` the moves that null it. Knows numpy, and
nothing of files, forms or commands.
"""
